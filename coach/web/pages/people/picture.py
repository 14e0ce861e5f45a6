"""A link as a picture that a phone's camera reads, where this Steading can draw it."""

from __future__ import annotations

from markupsafe import Markup

from coach.errors import Malformed
from coach.machine.code_picture import page_picture

TITLE = "The code as a picture for a camera"


def picture(link: str) -> Markup | None:
    """The picture as SVG; none where the link is too long for one, and the letters are typed."""
    try:
        drawn = page_picture(link, TITLE).decode()
    except Malformed:
        return None
    # It is drawn by us out of a link of ours, escaped where it says words.
    return Markup(drawn)  # noqa: S704
