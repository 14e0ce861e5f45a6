"""This week's area for other services: the opened week, what is done in it, its spot task, and its minutes.

Today's page and the week page build on these functions; each takes the `Situation` of an open transaction:

- `area_week(plan)` is the week that holds the date asked for, as it opened, or None where there are no areas.
- `area_now(plan)` is the same with the marks of the week, the day's spot task and the minutes by date.
- `area_minutes(plan, week)` are the area's minutes by date for any week, past or to come, spread over the
  area days. The course's step `AREA_STEP` stands for the same hour, so a load counts one of the two: leave
  that step's own minutes out where this gives any.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from coach.areas.passes import passes_before
from coach.areas.rules.passes import Opening, done_in_week, open_on, spot_task, turns_ahead
from coach.areas.rules.spread import spread
from coach.course.rule import WEEKDAYS
from coach.course.rule_words import weekdays
from coach.ground.weeks import DAYS_IN_WEEK, last_day

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from coach.areas.rules.packing import LeftTask
    from coach.areas.rules.rotation import Turn
    from coach.ground.situation import Situation

AREA_STEP = "area-hour"
AREA_DAYS = "area-days"


@dataclass(frozen=True, slots=True)
class AreaNow:
    """An opened week with what a day needs of it.

    Attributes:
        opening: The week: its turn, and for each of its areas what is listed, what comes if there is time.
        done: The tasks marked done in the week, by id, each with its latest date.
        spot: The day's spot task, marked done or not; None where the household does not work so.
        minutes: The area's minutes on the dates of the week.
    """

    opening: Opening
    done: Mapping[str, date]
    spot: LeftTask | None
    minutes: Mapping[date, int]


def area_now(where: Situation, day: date | None = None) -> AreaNow | None:
    """The week that holds a day, the date asked for if none is named; None where it has no areas.

    Raises:
        Malformed: The calendar ends within the week.
    """
    day = day or where.standing.on
    return where.plan.once(("area-now", day), lambda: _now(where, day))


def _now(where: Situation, day: date) -> AreaNow | None:
    found = passes_before(where, day, max(day, where.today))
    if found is None:
        return None
    passes, book = found
    if day <= passes.through:
        return None
    opening = open_on(passes, book, day)
    return AreaNow(
        opening=opening,
        done=done_in_week(opening, book.done),
        spot=spot_task(opening, book.done, day),
        minutes=_spread(where, opening.week, _minutes(opening.turn, opening)),
    )


def area_week(where: Situation) -> Opening | None:
    """The week that holds the date asked for, as it opened; None where no areas are set up."""
    now = area_now(where)
    return now.opening if now else None


def area_minutes(where: Situation, week: date) -> dict[date, int]:
    """The area's minutes by date for a week, past or to come; empty where there are none.

    Args:
        where: The household.
        week: The week's first day.
    """
    now = area_now(where, min(last_day(week), where.today))
    if now is None:
        return {}
    ahead = (week - now.opening.week).days // DAYS_IN_WEEK
    turn = turns_ahead(now.opening, ahead + 1, where.away)[-1] if ahead > 0 else now.opening.turn
    return _spread(where, week, _minutes(turn, now.opening))


def _minutes(turn: Turn, opening: Opening) -> int:
    """Minutes of a turn's areas together; none in a free week and in one that does not count."""
    if turn.waits:
        return 0
    return opening.plan.rotation.minutes_a_week if turn.catch_up else sum(turn.minutes)


def _spread(where: Situation, week: date, minutes: int) -> dict[date, int]:
    chosen = [WEEKDAYS.index(name) for name in area_days(where)]
    return spread(week, minutes, chosen) if minutes else {}


def area_days(where: Situation) -> tuple[str, ...]:
    """The weekdays (MO to SU) on which area work is done.

    Those the household chose, else those on which the step `AREA_STEP` falls, else none.
    """
    chosen = where.value(AREA_DAYS)
    if chosen is not None:
        return tuple(chosen)
    place = where.standing.steps.get(AREA_STEP)
    return (weekdays(place.step.repeats) if place else None) or ()
