"""People's texts among other words: kept from turning round what stands beside them (Unicode Annex 9)."""

from __future__ import annotations

import re
import unicodedata

FIRST_STRONG_ISOLATE, POP_ISOLATE = "\u2068", "\u2069"
_ISOLATES = re.compile("[\u2066-\u2069]")
_PLAIN = frozenset({"L", "EN", "ES", "ET", "CS", "NSM", "BN", "B", "S", "WS", "ON"})
"""Bidirectional classes of letters and signs that leave the direction of what follows as it is."""


def balanced(text: str) -> str:
    """A text whose isolates are all closed, so that it can stand inside another one.

    An end without a beginning is taken out, and what is still open is closed behind the text.
    """
    if not _ISOLATES.search(text):
        return text
    depth, parts = 0, []
    for letter in text:
        if letter == POP_ISOLATE and not depth:
            continue
        parts.append(letter)
        if _ISOLATES.match(letter):
            depth += -1 if letter == POP_ISOLATE else 1
    return "".join(parts) + POP_ISOLATE * depth


def isolated(text: str) -> str:
    """A text for the inside of a sentence: between isolation marks, if it is not plainly left to right."""
    if text.isascii() or all(unicodedata.bidirectional(letter) in _PLAIN for letter in text):
        return text
    return f"{FIRST_STRONG_ISOLATE}{balanced(text)}{POP_ISOLATE}"
