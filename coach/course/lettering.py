"""The words of a picture: how wide they run, and a title cut into lines that fit a field."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING
from unicodedata import combining, east_asian_width

if TYPE_CHECKING:
    from collections.abc import Iterator

LINE_HEIGHT = 15
"""From one line of a title to the next."""
MOST_LINES = 4
"""A title of more lines ends in dots."""
DOTS = "…"
EVENING = 4.0
"""By how much lines are made narrower at a time until they would be more."""

# How far letters of 13 pixels run in the bold face of the pages, rounded up.
_WIDTHS = {
    **dict.fromkeys("'.,\u2019:;|!ij", 4.0),
    **dict.fromkeys("lftrI()[]-\u2013 /\u00ad", 5.0),
    **dict.fromkeys("abcdeghknopqsuvxyz", 7.7),
    **dict.fromkeys("mMwW&@%", 11.5),
}
_OF_A_CAPITAL, _OF_A_WIDE_LETTER, _OF_OTHERS = 9.3, 13.0, 8.4


def width(text: str) -> float:
    """How far a text runs at most, in pixels, in the type of the picture."""
    return sum(map(_width, text))


@lru_cache(maxsize=1024)
def _width(letter: str) -> float:
    if combining(letter):
        return 0.0
    if letter in _WIDTHS:
        return _WIDTHS[letter]
    if east_asian_width(letter) in "WF":
        return _OF_A_WIDE_LETTER
    return _OF_A_CAPITAL if letter.isupper() or letter.isdigit() else _OF_OTHERS


def widest_word(title: str) -> float:
    """How wide a field must be for every word of a title to stand in it whole."""
    return max(map(width, title.split()), default=0.0)


def title_lines(title: str, room: float) -> tuple[str, ...]:
    """A title cut into few lines no wider than that, about equally long; dots stand for words left over."""
    lines = list(_lines(title, room))
    if len(lines) <= MOST_LINES:
        lines = _evened(lines, title, room)
    else:
        last = lines[MOST_LINES - 1].removesuffix("-")
        while last and width(last + DOTS) > room:
            last = last[:-1]
        lines = [*lines[: MOST_LINES - 1], last.rstrip() + DOTS]
    return tuple(lines) or ("",)


def _evened(lines: list[str], title: str, room: float) -> list[str]:
    """The narrowest lines that are as many and have no word cut that was whole."""
    least = widest_word(title)
    while room - EVENING >= least:
        room -= EVENING
        narrower = list(_lines(title, room))
        if len(narrower) > len(lines):
            break
        lines = narrower
    return lines


def _lines(title: str, room: float) -> Iterator[str]:
    line = ""
    for word in title.split():
        for piece in _pieces(word, room):
            longer = f"{line} {piece}" if line else piece
            if width(longer) > room:
                yield line
                longer = piece
            line = longer
    if line:
        yield line


def _pieces(word: str, room: float) -> Iterator[str]:
    """A word, or where it alone is too wide for a line, its parts with hyphens."""
    while width(word) > room:
        at = 1
        while width(word[: at + 1] + "-") <= room:
            at += 1
        yield word[:at] + "-"
        word = word[at:]
    yield word
