"""What people type into fields, as values, and what forms carry beside it."""

from typing import Annotated

from pydantic import Field

from coach.course.definition import MINUTES_A_DAY
from coach.course.digits import whole_number
from coach.errors import Malformed

SeenVersion = Annotated[int | None, Field(ge=0, le=2**53 - 1)]
"""The household's version that the page with the form has shown."""


def whole_minutes(what: str, text: str) -> int | None:
    """The number of minutes typed into a field; none if it was left empty.

    Args:
        what: What the minutes are for, in the sentence that says they cannot be read.
        text: As typed.

    Raises:
        Malformed: It is no number of minutes within a day.
    """
    plain = text.strip()
    if not plain:
        return None
    minutes = whole_number(plain, MINUTES_A_DAY)
    if minutes is None:
        raise Malformed(
            f"“{plain[:20]}” is no number of minutes for {what}. "
            f"Write one from 0 to {MINUTES_A_DAY}, or leave it empty."
        )
    return minutes
