"""Slips of the pen that keep a text from being TOML: each with its line and the way to mend it."""

from __future__ import annotations

import re
import tomllib
from typing import TYPE_CHECKING

from coach.course.keys import shortened
from coach.course.toml_lines import toml_lines

if TYPE_CHECKING:
    from collections.abc import Iterator

_STRING = re.compile(r""""(?:[^"\\]|\\.)*"|'[^']*'""")
_CURLY = re.compile("[“”„‟‘’‚‛«»]")  # noqa: RUF001  as word processors make them
_COLON = re.compile(r"\s*([A-Za-z0-9_-]+)\s*:[^=]*$")
_TWICE_WITHIN = re.compile(r"Duplicate inline table key '(.+)'")


def slips(text: str, first_line: int = 1) -> Iterator[tuple[int, str]]:
    """The likely slips in a text that is not TOML: (line of its file, what is wrong and how to mend it)."""
    seen: dict[str, int] = {}
    for line in toml_lines(text, first_line):
        bare = _STRING.sub('""', line.words).partition("#")[0]
        if _CURLY.search(bare):
            yield line.number, 'the quotes on this line are curly; TOML takes straight ones: "like this"'
        elif colon := _COLON.match(bare):
            value = _quoted(line.words.partition(":")[2].strip())
            yield line.number, f"between a key and its value stands an equals sign: {colon[1]} = {value}"
        elif line.path and not line.listed:
            first = seen.setdefault(line.path, line.number)
            if first != line.number:
                yield (
                    line.number,
                    f"“{line.path}” is written twice; line {first} has it already; take one out",
                )


def said_better(reason: str) -> str:
    """The parser's reason in our words, where they help more."""
    if twice := _TWICE_WITHIN.search(reason):
        return f"“{twice[1]}” is written twice on this line; take one out"
    return f"this is not TOML: {reason}"


def _quoted(value: str) -> str:
    """A value as it has to be written, as far as that can be told."""
    try:
        tomllib.loads(f"value = {value}")
    except tomllib.TOMLDecodeError:
        return f'"{shortened(value)}"' if value and '"' not in value else "..."
    return shortened(value)
