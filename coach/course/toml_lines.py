"""The lines of a TOML text: which key or table each begins."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

_KEY = r"""[A-Za-z0-9_-]+|"[^"]*"|'[^']*'"""
_DOTTED = rf"\s*((?:{_KEY})(?:\s*\.\s*(?:{_KEY}))*)\s*"
_HEADER = re.compile(rf"\s*(\[{{1,2}}){_DOTTED}\]")
_PAIR = re.compile(rf"{_DOTTED}=(.*)")


@dataclass(frozen=True, slots=True)
class TomlLine:
    """One line, unless it goes on with a text of several lines.

    Attributes:
        number: Its number in its file.
        words: The line itself.
        path: The path of the key or the table that begins on it (`hold.over`), or none.
        listed: Whether that is one more table of a list, such as `[[detail]]`.
    """

    number: int
    words: str
    path: str | None = None
    listed: bool = False


def toml_lines(text: str, first_line: int = 1) -> Iterator[TomlLine]:
    """The lines of a text that begins on `first_line` of its file, without those within a text of several."""
    table, string_end = "", None
    listed: Counter[str] = Counter()
    for number, words in enumerate(text.split("\n"), first_line):
        if string_end is not None:
            string_end = None if string_end in words else string_end
        elif header := _HEADER.match(words):
            name, is_listed = _path(header[2]), header[1] == "[["
            yield TomlLine(number, words, name, is_listed)
            listed[name] += is_listed
            table = f"{name}.{listed[name]}." if is_listed else f"{name}."
        elif pair := _PAIR.match(words):
            yield TomlLine(number, words, table + _path(pair[1]))
            string_end = next((mark for mark in ('"""', "'''") if pair[2].count(mark) == 1), None)
        else:
            yield TomlLine(number, words)


def _path(dotted: str) -> str:
    return ".".join(part.strip().strip("\"'") for part in re.findall(_KEY, dotted))
