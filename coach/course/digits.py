"""Whole numbers as people type them."""

from __future__ import annotations


def whole_number(text: str, most: int) -> int | None:
    """The number that is typed in ASCII digits and no others, from 0 to `most`; None for anything else.

    However many digits there are, no more of them are read than `most` has, zeros in front apart.
    """
    if not (text.isascii() and text.isdigit()):
        return None
    digits = text.lstrip("0") or "0"
    number = int(digits) if len(digits) <= len(str(most)) else most + 1
    return number if number <= most else None
