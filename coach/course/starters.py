"""Pages a handover can begin with: read from files with keys and Markdown, with blanks to be filled in."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from coach.course.file_names import id_of
from coach.course.front_matter import halves
from coach.course.keys import filled_text, is_blank, list_of, one_of, table_faults, text
from coach.errors import Fault, FaultyFile

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from coach.course.keys import Check, Found

PURPOSES = ("sitter", "guest", "stand-in", "emergency")
"""For whom a page can be."""

BLANK = "____"
"""What stands where somebody has to fill something in."""


@dataclass(frozen=True, slots=True)
class Starter:
    """A page to begin with.

    Attributes:
        id: The name of its file without number and ending.
        whom: For whom it is.
        markdown: Its text.
    """

    id: str
    title: str
    whom: tuple[str, ...]
    markdown: str


def _whom(path: str, value: object) -> Found:
    yield from list_of(one_of(*PURPOSES))(path, value)
    if value == []:
        yield path, f"“{path}” names nobody; write one of {', '.join(PURPOSES)} at least"


_KEYS: dict[str, Check] = {"title": filled_text, "whom": _whom}


def starter_of(file: str, content: bytes) -> Starter:
    """Read one page to begin with.

    Raises:
        FaultyFile: Something is wrong with it; all faults are named.
    """
    found = halves(file, content)
    faults = found.toml.faults(file, table_faults(_KEYS, "", found.toml.table, required=tuple(_KEYS)))
    faults += [Fault(file, found.first_line, reason) for reason in _body_faults(found.body)]
    if faults:
        raise FaultyFile(tuple(faults))
    values: Mapping[str, Any] = found.toml.table
    return Starter(
        id=id_of(file),
        title=values["title"],
        whom=tuple(values["whom"]),
        markdown=found.body.strip(),
    )


def _body_faults(body: str) -> Iterator[str]:
    """What speaks against a page's text."""
    if is_blank(body):
        yield "there is no text; write the page below the keys"
    elif any(text("text", body)):
        yield "the text has characters in it that cannot be shown"


def repeated_starters(files: Iterable[str]) -> list[Fault]:
    """A fault for every file whose page has the name of one before it."""
    seen: set[str] = set()
    found = []
    for file in files:
        name = id_of(file)
        if name in seen:
            found.append(Fault(file, None, f"there is a page “{name}” before this one; give it another name"))
        seen.add(name)
    return found
