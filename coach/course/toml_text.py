"""TOML that remembers its lines, so that a fault of a key can be shown where it stands."""

from __future__ import annotations

import re
import tomllib
from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from coach.errors import Fault, FaultyFile

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

_KEY = r"""[A-Za-z0-9_-]+|"[^"]*"|'[^']*'"""
_DOTTED = rf"\s*((?:{_KEY})(?:\s*\.\s*(?:{_KEY}))*)\s*"
_HEADER = re.compile(rf"\s*(\[{{1,2}}){_DOTTED}\]")
_PAIR = re.compile(rf"{_DOTTED}=(.*)")
_AT_LINE = re.compile(r" \(at line (\d+), column \d+\)$")
_AT_END = " (at end of document)"


@dataclass(frozen=True, slots=True)
class TomlText:
    """A piece of TOML that has been read.

    Attributes:
        table: What it says.
        text: How it says it.
        first_line: The line of its file on which it begins.
    """

    table: Mapping[str, Any]
    text: str
    first_line: int = 1

    def line_of(self, path: str, value: str | None = None) -> int | None:
        """The line of a key, given by its path (`hold.over`), or else of the table it is in.

        Args:
            path: The key's path; tables of a list headed `[[detail]]` are `detail.1`, `detail.2` and so on.
            value: A text within the key's value whose own line is wanted, such as one name of a list.
        """
        lines = dict(_key_lines(self.text, self.first_line))
        while path and path not in lines:
            path = path.rpartition(".")[0]
        line = lines.get(path)
        return line if line is None or value is None else self._line_of_value(line, value)

    def _line_of_value(self, line: int, value: str) -> int:
        after = enumerate(self.text.split("\n")[line - self.first_line :], line)
        quoted = (f'"{value}"', f"'{value}'")
        return next((number for number, words in after if any(text in words for text in quoted)), line)


def read_toml(text: str, file: str, first_line: int = 1) -> TomlText:
    """Read TOML that begins on `first_line` of a file.

    Raises:
        FaultyFile: It is not TOML; the one fault has its line.
    """
    try:
        return TomlText(tomllib.loads(text + "\n"), text, first_line)
    except tomllib.TOMLDecodeError as error:
        line, reason = _place(str(error), text)
        raise FaultyFile((Fault(file, first_line + line - 1, f"this is not TOML: {reason}"),)) from error
    except (ValueError, RecursionError) as error:
        reason = "this TOML cannot be read: a number has too many digits or lists lie too deep"
        raise FaultyFile((Fault(file, first_line, reason),)) from error


def _place(message: str, text: str) -> tuple[int, str]:
    """The line, counted from 1 within the text, and what is wrong there."""
    match = _AT_LINE.search(message)
    if match is None:
        return text.rstrip("\n").count("\n") + 1, f"{message.removesuffix(_AT_END)}, at its end"
    return int(match[1]), message[: match.start()]


def _key_lines(text: str, first_line: int) -> Iterator[tuple[str, int]]:
    """Every key's path and line, the later ones first, so that in a dict the earlier win."""
    found, table, string_end = [], "", None
    listed: Counter[str] = Counter()
    for number, line in enumerate(text.split("\n"), first_line):
        if string_end is not None:
            string_end = None if string_end in line else string_end
        elif header := _HEADER.match(line):
            name = _path(header[2])
            found.append((name, number))
            if header[1] == "[[":
                listed[name] += 1
                name = f"{name}.{listed[name]}"
                found.append((name, number))
            table = f"{name}."
        elif pair := _PAIR.match(line):
            found.append((table + _path(pair[1]), number))
            string_end = next((mark for mark in ('"""', "'''") if pair[2].count(mark) == 1), None)
    return reversed(found)


def _path(dotted: str) -> str:
    return ".".join(part.strip().strip("\"'") for part in re.findall(_KEY, dotted))
