"""What a household typed, made ready for paper: every letter stays, what is no letter goes."""

from __future__ import annotations

import unicodedata
from dataclasses import asdict
from datetime import date
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterator

REPLACED = "\N{REPLACEMENT CHARACTER}"
_TURNING = {*range(0x202A, 0x202F), *range(0x2066, 0x206A)}
"""Marks that turn the direction of whatever follows them, beyond the line they were typed in."""
_BREAKS = {"\t", "\n", "\r", "\v", "\f", "\x85", "\u2028", "\u2029"}
_NO_LETTERS = {"Cc", "Cs"}
_UNKNOWN = {"Cn", "Co"}


def plain(text: str) -> str:
    """A text on one line, without control characters and marks that turn directions, which no face has."""
    return "".join(_kept(letter) for letter in text)


def lines_of(text: str) -> str:
    """The same for a text of several lines, whose line ends stay."""
    return "\n".join(plain(line) for line in text.splitlines())


def _kept(letter: str) -> str:
    if letter in _BREAKS:
        return " "
    gone = unicodedata.category(letter) in _NO_LETTERS or ord(letter) in _TURNING
    return "" if gone else letter


def replaced(text: str, letters: frozenset[str]) -> str:
    """A text in which the sign for an unknown letter stands instead of some."""
    return "".join(REPLACED if letter in letters else letter for letter in text)


def is_unknown(letter: str) -> bool:
    """Whether a letter belongs to no script: one that is nobody's yet, or somebody's own."""
    return unicodedata.category(letter) in _UNKNOWN


def values(answer: Any) -> Any:  # noqa: ANN401  any answer is made of the same few types
    """An answer as plain values for the page to read, its texts made ready."""
    return _ready(asdict(answer))


def _ready(value: Any) -> Any:  # noqa: ANN401  any value
    if isinstance(value, dict):
        return {key: _ready(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [_ready(one) for one in value]
    if isinstance(value, date):
        return value.isoformat()
    return plain(value) if isinstance(value, str) else value


def texts_in(value: Any) -> Iterator[str]:  # noqa: ANN401  any value
    """Every text within a value."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for one in value.values():
            yield from texts_in(one)
    elif isinstance(value, list):
        for one in value:
            yield from texts_in(one)


def exchanged(value: Any, letters: frozenset[str]) -> Any:  # noqa: ANN401  any value
    """A value in whose texts the sign for an unknown letter stands instead of some."""
    if isinstance(value, dict):
        return {key: exchanged(one, letters) for key, one in value.items()}
    if isinstance(value, list):
        return [exchanged(one, letters) for one in value]
    return replaced(value, letters) if isinstance(value, str) else value
