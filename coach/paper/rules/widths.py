"""How wide a text is in print, in sizes of its type, and how many rows it takes; counted on the wide side."""

from __future__ import annotations

import unicodedata

NARROW, SLIM, USUAL, CAPITAL, BROAD, FULL = 0.30, 0.42, 0.60, 0.70, 0.94, 1.05
"""Widths of letters in sizes of type: a little more than those of the faces that Steading prints with."""

_NARROW = frozenset(
    "iIjl|.,;:'!()[] \N{MIDDLE DOT}\N{LEFT SINGLE QUOTATION MARK}\N{RIGHT SINGLE QUOTATION MARK}"
)
_SLIM = frozenset('frt/-"*')
_BROAD = frozenset("mwMW@%—…")
_UNSEEN = {"Mn", "Me", "Cf", "Cc"}
"""Categories of what takes no room of its own: marks set over a letter, marks of direction."""
_PLANE = 0xFFFF
"""The last letter of the first plane; what comes after it is mostly pictures."""


def letter_width(letter: str) -> float:
    """How wide a letter is, in sizes of its type."""
    if unicodedata.category(letter) in _UNSEEN:
        return 0.0
    if letter in _NARROW:
        return NARROW
    if letter in _SLIM:
        return SLIM
    if letter in _BROAD:
        return BROAD
    if unicodedata.east_asian_width(letter) in {"W", "F"} or ord(letter) > _PLANE:
        return FULL
    return CAPITAL if letter.isupper() or not letter.isalpha() else USUAL


def width(text: str) -> float:
    """How wide a text is on one line, in sizes of its type."""
    return sum(map(letter_width, text))


def rows(text: str, room: float) -> int:
    """How many rows a text takes where a row has so much room; a word that is longer breaks.

    Args:
        text: Without line breaks.
        room: The width of a row, in sizes of its type.
    """
    taken, row = 1, 0.0
    for word in text.split():
        wide = width(word)
        if row and row + NARROW + wide > room:
            taken, row = taken + 1, 0.0
        row += wide + (NARROW if row else 0.0)
        while row > room:
            taken, row = taken + 1, row - room
    return taken
