"""How wide a text is in print, in sizes of its type, and how many rows it takes; counted on the wide side."""

from __future__ import annotations

import unicodedata

_SETS = {
    0.29: "ijl.,:;'|! \N{MIDDLE DOT}\N{LEFT SINGLE QUOTATION MARK}\N{RIGHT SINGLE QUOTATION MARK}",
    0.38: 'frt-/()[]*"',
    0.46: "IJ1",
    0.53: "aceksvxyz",
    0.57: "bdghnopqu",
    0.74: "w",
    0.90: "mMW%@",
}
_WIDTHS = {letter: wide for wide, letters in _SETS.items() for letter in letters}
"""Widths of letters in sizes of type, a little more than in the face that Steading prints with."""
SPACE = _WIDTHS[" "]
CAPITAL, FIGURE, OTHER, FULL = 0.71, 0.65, 0.66, 1.05
"""Of capitals, figures and signs, letters of other scripts, and letters as wide as they are high."""
UNSPACED = 0.83
"""Of letters of scripts that write no spaces: their rows end between words, and where is not known."""

_UNSPACED = (range(0x0E00, 0x10A0), range(0x1780, 0x1800), range(0x1950, 0x1AB0))
"""Thai, Lao, Tibetan and Burmese; Khmer; Tai and Lanna letters."""

_UNSEEN = {"Mn", "Me", "Cf", "Cc"}
"""Categories of what takes no room of its own: marks set over a letter, marks of direction."""
_PLANE = 0xFFFF
"""The last letter of the first plane; what comes after it is mostly pictures."""


def letter_width(letter: str) -> float:
    """How wide a letter is, in sizes of its type."""
    if unicodedata.category(letter) in _UNSEEN:
        return 0.0
    # An accent makes a letter no wider.
    known = _WIDTHS.get(unicodedata.normalize("NFD", letter)[0])
    if known is not None:
        return known
    if unicodedata.east_asian_width(letter) in {"W", "F"} or ord(letter) > _PLANE:
        return FULL
    if any(ord(letter) in script for script in _UNSPACED):
        return UNSPACED
    if not letter.isalpha():
        return FIGURE
    return CAPITAL if letter.isupper() else OTHER


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
        if row and row + SPACE + wide > room:
            taken, row = taken + 1, 0.0
        row += SPACE if row else 0.0
        if row + wide <= room:
            row += wide
            continue
        more, row = _broken(word, row, room)
        taken += more
    return taken


def _broken(word: str, row: float, room: float) -> tuple[int, float]:
    """How many rows a word adds that is longer than one, and how far it comes in the last of them.

    It breaks between two letters, so that a row ends before the letter that goes over it.
    """
    more = 0
    for letter in word:
        wide = letter_width(letter)
        if row and row + wide > room:
            more, row = more + 1, 0.0
        row += wide
    return more, row
