"""TOML that remembers its lines, so that a fault of a key can be shown where it stands."""

from __future__ import annotations

import re
import tomllib
from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from coach.course.toml_lines import toml_lines
from coach.course.toml_slips import said_better, slips
from coach.errors import Fault, FaultyFile

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

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

    def faults(self, file: str, found: Iterable[tuple[str, str]]) -> list[Fault]:
        """What is wrong with its keys, where it stands.

        Args:
            file: The file's name.
            found: Paths of keys, each with what is wrong there.
        """
        return [Fault(file, self.line_of(path), reason) for path, reason in found]

    def _line_of_value(self, line: int, value: str) -> int:
        after = enumerate(self.text.split("\n")[line - self.first_line :], line)
        quoted = (f'"{value}"', f"'{value}'")
        return next((number for number, words in after if any(text in words for text in quoted)), line)


def read_toml(text: str, file: str, first_line: int = 1) -> TomlText:
    """Read TOML that begins on `first_line` of a file.

    Raises:
        FaultyFile: It is not TOML; the faults have their lines.
    """
    try:
        return TomlText(tomllib.loads(text + "\n"), text, first_line)
    except tomllib.TOMLDecodeError as error:
        raise FaultyFile(tuple(_faults(str(error), text, file, first_line))) from error
    except (ValueError, RecursionError) as error:
        reason = "this TOML cannot be read: a number has too many digits or lists lie too deep"
        raise FaultyFile((Fault(file, first_line, reason),)) from error


def _faults(message: str, text: str, file: str, first_line: int) -> Iterator[Fault]:
    """The parser names the first place alone; from there on what looks like a slip is named too."""
    place, reason = _place(message, text)
    line = first_line + place - 1
    found = [(at, slip) for at, slip in slips(text, first_line) if at >= line]
    if line not in dict(found):
        yield Fault(file, line, said_better(reason))
    yield from (Fault(file, at, slip) for at, slip in found)


def _place(message: str, text: str) -> tuple[int, str]:
    """The line, counted from 1 within the text, and what is wrong there."""
    match = _AT_LINE.search(message)
    if match is None:
        return text.rstrip("\n").count("\n") + 1, f"{message.removesuffix(_AT_END)}, at its end"
    return int(match[1]), message[: match.start()]


def _key_lines(text: str, first_line: int) -> Iterator[tuple[str, int]]:
    """Every key's path and line, the later ones first, so that in a dict the earlier win."""
    found: list[tuple[str, int]] = []
    listed: Counter[str] = Counter()
    for line in toml_lines(text, first_line):
        if line.path is not None:
            found.append((line.path, line.number))
        if line.path is not None and line.listed:
            listed[line.path] += 1
            found.append((f"{line.path}.{listed[line.path]}", line.number))
    return reversed(found)
