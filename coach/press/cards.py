"""The day cards as PDF: two or four to a page, with marks to cut along."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from coach.press.letters import values
from coach.press.printed import Printed, TooLong
from coach.press.setting import Form, asked, printed, with_faces

if TYPE_CHECKING:
    from typst import Fonts

    from coach.paper.answers import Cards

_FORM = Form(("ground", "motifs", "cards"))


def cards(cards: Cards) -> Printed | TooLong:
    """The cards, all in one size of type: the largest in which each one fits, and never less than 8 points.

    Raises:
        NotReady: The library is not installed, or no face of type has a letter.
    """
    made: Printed | TooLong = with_faces(values(cards), _set)
    return made


def _set(data: Any, fonts: Fonts) -> Printed | TooLong:  # noqa: ANN401  what the template reads
    found = asked(_FORM, {"cards": data, "fit": None}, fonts, "fit")
    if found["lines"]:
        return TooLong(found["lines"])
    pages = max(1, -(-len(data["cards"]) // data["per_page"]))
    pdf = printed(_FORM, {"cards": data, "fit": found, "pages": pages}, fonts)
    return Printed(pdf, pages, found["points"])
