"""The docs as values: their sections, tables, examples and links, read from the Markdown files."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from markdown_it import MarkdownIt

if TYPE_CHECKING:
    from markdown_it.token import Token

ROOT = Path(__file__).parents[2]
PAGES = ("README.md", "DEVELOPERS.md", *sorted(str(p.relative_to(ROOT)) for p in ROOT.glob("docs/**/*.md")))
_PARSER = MarkdownIt("commonmark").enable("table")


@dataclass(frozen=True)
class Fence:
    """A fenced example: the words behind the fence, and its text."""

    info: tuple[str, ...]
    text: str


@dataclass(frozen=True)
class Section:
    """What stands under a heading, up to the next one of any level."""

    title: str
    tokens: tuple[Token, ...]

    @property
    def anchor(self) -> str:
        """The part of an address that leads to the heading, as code hosts make it."""
        return re.sub(r"[^\w\- ]", "", self.title.lower()).replace(" ", "-")

    @property
    def fences(self) -> list[Fence]:
        """The fenced examples."""
        found = (token for token in self.tokens if token.type == "fence")
        return [Fence(tuple(token.info.split()), token.content) for token in found]

    @property
    def rows(self) -> list[list[str]]:
        """The cells of its tables, without their heads."""
        rows: list[list[str]] = []
        cell = False
        for token in self.tokens:
            if token.type == "tr_open":
                rows.append([])
            elif token.type == "td_open":
                cell = True
            elif token.type == "inline" and cell:
                rows[-1].append(token.content)
                cell = False
        return [row for row in rows if row]

    @property
    def items(self) -> list[str]:
        """The first paragraphs of its list items."""
        found = zip(self.tokens, self.tokens[2:], strict=False)
        return [second.content for first, second in found if first.type == "list_item_open"]

    @property
    def first_cells(self) -> list[str]:
        """The names its tables list, without backquotes; a cell may list several."""
        return [name for row in self.rows for name in code(row[0])]

    @property
    def text(self) -> str:
        """Its text, examples and all."""
        return "\n".join(token.content for token in self.tokens if token.content)


def code(text: str) -> list[str]:
    """What stands between backquotes."""
    return re.findall(r"`([^`]+)`", text)


@cache
def sections(page: str) -> tuple[Section, ...]:
    """The sections of a page, in order; what stands before the first heading is left out."""
    found: list[Section] = []
    tokens = _PARSER.parse((ROOT / page).read_text(encoding="utf-8"))
    starts = [index for index, token in enumerate(tokens) if token.type == "heading_open"]
    for start, end in zip(starts, [*starts[1:], len(tokens)], strict=True):
        found.append(Section(tokens[start + 1].content, tuple(tokens[start + 3 : end])))
    return tuple(found)


def section(page: str, title: str) -> Section:
    """The section with that heading."""
    return next(found for found in sections(page) if found.title == title)


def chapters(folder: str) -> list[str]:
    """The index of a folder, and the pages of the folder it leads to, in its order."""
    index = f"{folder}/README.md"
    return [index, *(f"{folder}/{link}" for link in links(index) if re.fullmatch(r"[\w-]+\.md", link))]


def anchors(page: str) -> set[str]:
    """The anchors of a page."""
    return {found.anchor.replace("`", "") for found in sections(page)}


def links(page: str) -> list[str]:
    """The addresses that a page leads to or shows, pictures included."""
    found = []
    for token in _PARSER.parse((ROOT / page).read_text(encoding="utf-8")):
        for inner in token.children or []:
            found += [str(inner.attrs[name]) for name in ("href", "src") if name in inner.attrs]
        if token.type in {"inline", "html_block"}:
            found += re.findall(r'(?:src|href)="([^"]+)"', token.content)
    return found
