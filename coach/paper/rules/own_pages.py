"""Pages of the household's own: what one may hold, their order, and which hold what is looked for."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from coach.course.keys import is_blank
from coach.course.keys import text as text_faults

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator, Sequence

MOST_PAGES = 60
"""How many pages a household may keep: more than anybody reads in an evening."""

TITLE_LENGTH = 80
"""Characters of a title."""

TEXT_LENGTH = 6000
"""Characters of a page: about two sheets of paper."""

SEARCH_LENGTH = 100
"""Characters of what is looked for."""


class Whom(StrEnum):
    """For whom a page is, in the order in which they are offered."""

    SITTER = "sitter"
    GUEST = "guest"
    STAND_IN = "stand-in"
    EMERGENCY = "emergency"


@dataclass(frozen=True, slots=True)
class OwnPage:
    """A page.

    Attributes:
        whom: For whom it is, one at least, in the order of `Whom`.
    """

    id: str
    title: str
    markdown: str
    whom: tuple[Whom, ...]


def plain_title(typed: str) -> str:
    """A title on one line, without spaces around it."""
    return " ".join(typed.split())


def plain_text(typed: str) -> str:
    """A text with the line ends of a file, whatever a browser sends, and none around it."""
    return typed.replace("\r\n", "\n").replace("\r", "\n").rstrip().lstrip("\n")


def whom_of(names: Iterable[str]) -> tuple[Whom, ...]:
    """For whom a page is, each once and in their order; what is no such name is left out."""
    named = set(names)
    return tuple(one for one in Whom if one.value in named)


def faults_of(page: OwnPage) -> Iterator[tuple[str, str]]:
    """What speaks against a page, each with its field."""
    yield from _title_faults(page.title)
    if is_blank(page.markdown):
        yield "markdown", "The page says nothing yet. Write what one needs to know, a line will do."
    elif len(page.markdown) > TEXT_LENGTH:
        has = f"The page has {len(page.markdown):,} characters, and {TEXT_LENGTH:,} is the most."
        yield "markdown", f"{has} Divide it into two pages."
    elif any(text_faults("markdown", page.markdown)):
        yield "markdown", "The page has characters that cannot be shown. Take them out, or type it anew."
    if not page.whom:
        yield "whom", "Choose for whom it is, one at least."


def _title_faults(title: str) -> Iterator[tuple[str, str]]:
    if is_blank(title):
        yield "title", "The page has no title. Give it one, such as what it is about."
    elif len(title) > TITLE_LENGTH:
        yield "title", f"The title has {len(title):,} characters. Keep it to {TITLE_LENGTH}."
    elif any(text_faults("title", title)):
        yield "title", "The title has characters that cannot be shown. Take them out, or type it anew."


def in_order(pages: Collection[str], order: Iterable[str]) -> tuple[str, ...]:
    """Pages in a household's order; those it does not name follow as they were written.

    So no order can lose a page, whoever wrote it and whatever was added or deleted meanwhile.

    Args:
        pages: Their ids.
        order: The ids as they were last put; it may name pages that are gone.
    """
    here = set(pages)
    named = [page for page in dict.fromkeys(order) if page in here]
    return (*named, *sorted(here.difference(named)))


def placed(order: Sequence[str], page: str, before: str | None) -> tuple[str, ...]:
    """The order with a page put before another one, or last.

    It says where the page is to stand and not by how much it moves, so the same asked twice is the same.
    """
    if page == before:
        return tuple(order)
    rest = [one for one in order if one != page]
    place = len(rest) if before is None else rest.index(before)
    return (*rest[:place], page, *rest[place:])


def looked_for(typed: str) -> tuple[str, ...]:
    """The words of a search."""
    return tuple(_plain(typed[:SEARCH_LENGTH]).split())


def holds(page: OwnPage, words: Iterable[str]) -> bool:
    """Whether every word stands somewhere in a page's title or text, whatever its case and accents."""
    text = _plain(f"{page.title}\n{page.markdown}")
    return all(word in text for word in words)


def _plain(text: str) -> str:
    letters = unicodedata.normalize("NFKD", text.casefold())
    return "".join(letter for letter in letters if not unicodedata.combining(letter))
