"""Being away on purpose, and taking the list up again."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING, Literal

from coach.errors import Malformed, NotEditable
from coach.ground.wording import full_date
from coach.ground.writing import Decision, to_log, written
from coach.habits.day import day_after
from coach.progress.log import Row, What
from coach.progress.opening import Phase

if TYPE_CHECKING:
    from coach.ground.ports import Context
    from coach.ground.situation import Situation
    from coach.habits.answers import Day

LATEST = timedelta(days=3660)


def pause(context: Context, household: str, since: date | None = None, until: date | None = None) -> Day:
    """Pause from a date to a date, both included.

    A mark ends an open pause and interrupts a dated one, so a pause from today begins tomorrow if something
    is marked today already.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        since: The first paused date; today if none is named.
        until: The last paused date; an open end if none is named.

    Raises:
        NotStarted: The household has not chosen its first step.
        NotEditable: The pause would begin before today.
        Malformed: It would end before it begins, or lie more than ten years ahead.
    """

    def decide(where: Situation) -> Decision[None]:
        first = _first_day(where, since)
        if until is not None and until < first:
            raise Malformed(
                f"A pause from {full_date(first)} cannot end on {full_date(until)}. "
                "Choose a later last day, or none."
            )
        if max(first, until or first) - where.today > LATEST:
            raise Malformed("That is more than ten years ahead. Choose an earlier date.")
        return to_log([Row(first, What.PAUSE, value=until.isoformat() if until else "")])

    return written(context, household, decide, day_after)


def _first_day(where: Situation, since: date | None) -> date:
    first = since or where.today
    if first < where.today:
        raise NotEditable(
            f"A pause begins today, {full_date(where.today)}, or later, not on {full_date(first)}."
        )
    if first == where.today and where.standing.marks:
        return first + timedelta(days=1)
    return first


def resume(context: Context, household: str, choice: Literal["all", "one"] | None = None) -> Day:
    """End a pause, or come back after a lapse.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        choice: On the day of a return, bring back `all` steps or `one`; the usual number if none is named.

    Raises:
        NotStarted: The household has not chosen its first step.
        NotEditable: A choice was made on a day that is no return.
    """

    def decide(where: Situation) -> Decision[None]:
        standing = where.standing
        away = standing.phase in {Phase.PAUSED, Phase.LAPSED}
        covered = standing.pause is not None and standing.pause.covers(where.today)
        if not away and standing.comeback is None:
            if choice:
                raise NotEditable("Today is no day of return, so there is nothing to choose.")
            if not covered:
                return to_log([])
        return to_log([Row(where.today, What.RESUME, value=choice or "")])

    return written(context, household, decide, day_after)


def call_off(context: Context, household: str, since: date) -> Day:
    """Take back a planned pause that has not begun.

    Raises:
        NotStarted: The household has not chosen its first step.
        NotEditable: No pause is planned from that date.
    """

    def decide(where: Situation) -> Decision[None]:
        words = [
            row for row in where.book.decisions if row.date == since and row.what in {What.PAUSE, What.RESUME}
        ]
        if since <= where.today or not words or words[-1].what is not What.PAUSE:
            raise NotEditable(f"No pause is planned from {full_date(since)}.")
        return to_log([Row(since, What.RESUME)])

    return written(context, household, decide, day_after)
