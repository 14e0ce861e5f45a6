"""How long it may take, in words: always two dates with their chances, or why there are none."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.ground.wording import full_date, short_date

if TYPE_CHECKING:
    from datetime import date

    from coach.habits.forecast_answers import CannotSayName, Held, Span

_CANNOT_SAY: dict[CannotSayName, str] = {
    "nothing-left": "Every step that others wait for has settled.",
    "paused": "There is a pause without an end, so no dates can be said. They can once it has a last day, "
    "or once you are back.",
    "lapsed": "While the list waits for you, no dates are said. There are dates again from the day after "
    "you take it up.",
    "returning": "This is the day of the return; from tomorrow on there are dates again.",
    "too-few": "Too early to tell. Dates need {needs} outcomes of days with a mark; there {are} so far.",
    "too-far": "If the days ahead go like those so far, a year is not enough to say dates. A lighter list "
    "brings them nearer: smaller versions, or a line set aside for now.",
}


def span_text(span: Span, on: date, outcomes: int, fewest: int) -> str:
    """By when the last step settles that others wait for, or why that cannot be said.

    Args:
        span: The dates; its own text is not looked at.
        on: The household's date, for dates of the same year to be said without it.
        outcomes: How many outcomes its days told.
        fewest: How many it takes.
    """
    if span.cannot_say is not None:
        are = {0: "are none", 1: "is 1"}.get(outcomes, f"are {outcomes}")
        return _CANNOT_SAY[span.cannot_say].format(needs=fewest, are=are)
    if span.median is None or span.likely is None:
        raise ValueError(span)
    both = f"by {said_date(span.median, on)} with a chance of 1 in 2"
    if span.median == span.likely:
        return f"The last step that others wait for settles {both}, and by the same day with 8 in 10."
    return f"The last step that others wait for settles {both}, by {said_date(span.likely, on)} with 8 in 10."


def said_date(day: date, on: date) -> str:
    """A date ahead: `12 March`, or with its year where that is another one than today's."""
    return short_date(day) if day.year == on.year else full_date(day)


def record_text(record: Held) -> str:
    """What came of earlier forecasts; empty while none is over."""
    if not record.over:
        return ""
    if record.over == 1:
        return f"The one earlier forecast that is over {'held' if record.held else 'did not hold'}."
    held = record.held or "none"
    return f"Of {record.over} earlier forecasts that are over, {held} held."
