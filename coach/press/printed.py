"""What the press gives back."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Printed:
    """A document as PDF.

    Attributes:
        pdf: Its bytes; the same input gives the same ones.
        pages: How many pages it has.
        points: The size of its running type in points, where it was chosen to fit; 0 where it was not.
    """

    pdf: bytes
    pages: int
    points: float = 0.0


@dataclass(frozen=True, slots=True)
class TooLong:
    """A sheet that does not fit on its page at the least size of type.

    Attributes:
        lines: By how many lines it is too long; 0 where its back page alone is.
        back: By how many lines its back page is too long.
    """

    lines: int
    back: int = 0
