"""What the handover and the booklet share: long texts, bounded, set on as many pages as they need."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from coach.errors import Malformed
from coach.press.printed import Printed
from coach.press.setting import Form, asked, printed, with_faces

if TYPE_CHECKING:
    from collections.abc import Iterable

    from typst import Fonts

MOST_LETTERS = 400_000
"""How many letters one PDF holds, some 200 pages: what is longer takes a machine at home too long to set."""


def bound(texts: Iterable[str]) -> None:
    """Refuse texts that are too long to set.

    Raises:
        Malformed: They are.
    """
    count = sum(map(len, texts))
    if count > MOST_LETTERS:
        raise Malformed(
            f"The text has {count:,} letters, and a PDF takes {MOST_LETTERS:,} at most. Leave a page out, or "
            "print it from the browser; nothing was cut."
        )


def book(form: Form, found: Any, paper: str) -> Printed:  # noqa: ANN401  what the template reads
    """A text set on as many pages as it needs.

    Raises:
        NotReady: The library is not installed, or no face of type has a letter.
    """

    def set_it(data: Any, fonts: Fonts) -> Printed:  # noqa: ANN401  the same
        pdf = printed(form, data, fonts)
        return Printed(pdf, asked(form, data, fonts, "pages"))

    made: Printed = with_faces({"found": found, "paper": paper}, set_it)
    return made
