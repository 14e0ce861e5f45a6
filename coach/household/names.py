"""Names of people and devices: how they are kept, and when two are the same."""

from __future__ import annotations

import unicodedata

from coach.errors import Malformed

LONGEST_NAME = 60
"""Characters of a person's or a device's name."""

_UNSEEN = {"Cc", "Cf", "Cs", "Zl", "Zp"}
"""Kinds of characters that show nothing: controls, marks of direction, half characters, ends of lines."""

_JOINERS = "\u200c\u200d"
"""Marks between letters that several scripts need to be written rightly."""


def tidy_name(text: str, whose: str = "A name") -> str:
    """A name on one line, composed, without what cannot be seen; empty if nothing is left.

    Args:
        text: As it was typed.
        whose: What the name is, in the sentence that says that it is too long.

    Raises:
        Malformed: It is longer than a name may be.
    """
    shown = "".join(
        " " if letter.isspace() else letter
        for letter in unicodedata.normalize("NFC", text)
        if letter.isspace() or letter in _JOINERS or unicodedata.category(letter) not in _UNSEEN
    )
    name = " ".join(shown.split())
    if not name.strip(_JOINERS):
        return ""
    if len(name) > LONGEST_NAME:
        raise Malformed(f"{whose} has at most {LONGEST_NAME} characters. This one has {len(name)}.")
    return name


def is_same(one: str, other: str) -> bool:
    """Whether two names are one, whatever their capitals, widths, joiners and ways to compose letters."""
    return _plain(one) == _plain(other)


def _plain(name: str) -> str:
    # A joiner shows nothing by itself, so a name with one more of them would look like another's.
    seen = "".join(letter for letter in name if letter not in _JOINERS)
    return unicodedata.normalize("NFKC", unicodedata.normalize("NFKC", seen).casefold())
