"""This week's area as it is known: the passes folded from the latest fold that was kept, and the opened week.

A fold is kept up to a week that no mark or plan can change any more: marks go back seven days, and a plan
holds from the week it is made in. So opening this week's area folds two or three weeks, however long the
history is.

Today's page and the week build on these functions; each takes the `Situation` of an open transaction:

- `area_now(where)` is the week that holds the date asked for, as it opened, with the marks of the week, the
  day's spot task and the minutes by date, or None where there are no areas.
- `area_minutes(where, week)` are the area's minutes by date for any week, past or to come, spread over the
  area days. A step that works in areas (`is_area_step`) stands for the same work, so a load counts one of
  the two: leave that step's own minutes out where this gives any.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING

from coach.areas.plans import plans_after
from coach.areas.rules.forecast import forecast
from coach.areas.rules.kept_passes import kept_passes, passes_json
from coach.areas.rules.passes import (
    Book,
    Opening,
    Passes,
    begin,
    close_week,
    done_in_week,
    open_on,
    open_week,
    spot_task,
    turns_ahead,
)
from coach.areas.rules.rotation import Mode, spread
from coach.course.model import Part
from coach.course.rule import WEEKDAYS
from coach.course.rule_words import weekdays
from coach.course.shapes import required, shape
from coach.ground.plan_rows import dated_keys
from coach.ground.rows import SavedStanding
from coach.ground.spacing import BEFORE_EDITS, thinning
from coach.ground.weeks import DAYS_IN_WEEK, WEEK, last_day
from coach.progress.days import ONE_DAY

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from coach.areas.rules.packing import LeftTask
    from coach.areas.rules.rotation import Turn
    from coach.course.model import Step
    from coach.ground.ports import Writing
    from coach.ground.situation import Situation

AREA_DAYS = "area-days"

NAME = "passes"
DIGEST = "passes 2"
"""Names how a fold is worked out: a change of the rules of passes gives it another number."""

DONE = "done"


_WEEKDAYS = shape([str])


def done_marks(where: Situation, first: date, last: date) -> dict[date, frozenset[str]]:
    """The ids of the tasks marked done on each date, between two dates."""
    found: dict[date, set[str]] = {}
    for day, task in where.plan.read_keys(DONE, _done, *dated_keys(first, last)):
        found.setdefault(day, set()).add(task)
    return {day: frozenset(tasks) for day, tasks in found.items()}


def _done(key: str) -> tuple[date, str]:
    day, _, task = key.partition("/")
    return date.fromisoformat(day), task


def _latest(
    read: Callable[[date], SavedStanding | None], before: date
) -> tuple[SavedStanding, Passes] | None:
    """The latest fold kept from before a date that is not damaged, and what it holds."""
    while (saved := read(before)) is not None:
        if (passes := kept_passes(saved.state, saved.through)) is not None:
            return saved, passes
        before = saved.through
    return None


def passes_before(where: Situation, day: date, last: date) -> tuple[Passes, Book] | None:
    """The latest passes kept from before a date, and the book of all that came after them.

    Args:
        where: The household.
        day: The passes have closed no week that holds it.
        last: The book holds the marks up to this date.

    Returns:
        None where the areas are not set up.
    """
    found = _latest(lambda before: where.plan.saved(NAME, before, DIGEST), day)
    plans = plans_after(where, found[0].through if found else None)
    if not plans:
        return None
    first = found[0].through + ONE_DAY if found else date.min
    book = Book(plans, done_marks(where, first, last), where.away)
    return (found[1] if found else begin(book)), book


def keep_passes(writing: Writing, where: Situation) -> None:
    """Keep the passes of the last week that nothing can change any more, unless they are kept already."""
    through = where.today - BEFORE_EDITS
    saved = _latest(lambda before: writing.saved_plan(NAME, before, DIGEST), through + ONE_DAY)
    is_kept = saved is not None and through - saved[0].through < WEEK
    found = None if is_kept else passes_before(where, through + ONE_DAY, through)
    if found is None:
        return
    passes, book = found
    begun = passes.through
    while (opening := open_week(passes, book)).last_day <= through:
        close_week(passes, opening, book)
    if passes.through > begun:
        kept = SavedStanding(passes.through, DIGEST, passes_json(passes))
        writing.save_plan(NAME, kept, thinning(_first_end(where, passes.through), where.today))


def _first_end(where: Situation, end: date) -> date:
    """The household's first day that has the weekday of this one, on which its weeks end."""
    started = where.state.started
    return started + (end - started) % WEEK


@dataclass(frozen=True, slots=True)
class AreaNow:
    """An opened week with what a day needs of it.

    Attributes:
        opening: The week: its turn, and for each of its areas what is listed, what comes if there is time.
        done: The tasks marked done in the week, by id, each with its latest date.
        spot: The day's spot task, marked done or not; None where the household does not work so.
        minutes: The area's minutes on the dates of the week.
        passes: Where the passes stood before the week.
        book: What they follow from.
    """

    opening: Opening
    done: Mapping[str, date]
    spot: LeftTask | None
    minutes: Mapping[date, int]
    passes: Passes = field(compare=False)
    book: Book = field(compare=False)

    def turns(self, weeks: int) -> tuple[Turn, ...]:
        """The turns of so many weeks from this one on; by need those to come are a forecast.

        Raises:
            Malformed: The calendar has not that many weeks.
        """
        if self.opening.plan.rotation.mode is Mode.NEED:
            return tuple(opening.turn for opening in forecast(self.passes, self.book, weeks))
        return turns_ahead(self.opening, weeks, self.book.away)


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
        passes=passes,
        book=book,
    )


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
    whole = turn.catch_up or turn.by_need
    return opening.plan.rotation.minutes_a_week if whole else sum(turn.minutes)


def _spread(where: Situation, week: date, minutes: int) -> dict[date, int]:
    chosen = [WEEKDAYS.index(name) for name in area_days(where)]
    return spread(week, minutes, chosen) if minutes else {}


def chosen_days(where: Situation) -> tuple[str, ...] | None:
    """The weekdays (MO to SU) the household chose for area work; None if it chose none."""
    return where.plan.read_one(AREA_DAYS, "", _days)


def _days(_key: str, value: list[str]) -> tuple[str, ...]:
    required(value, _WEEKDAYS)
    if not set(value) <= set(WEEKDAYS):
        raise ValueError("There is no such weekday.")
    return tuple(value)


def is_area_step(step: Step) -> bool:
    """Whether a step works in this week's area: its minutes and those of the area are the same work."""
    return step.part is Part.AREAS


def area_days(where: Situation) -> tuple[str, ...]:
    """The weekdays (MO to SU) on which area work is done.

    Those the household chose, else those on which the steps that work in areas fall, else none.
    """
    chosen = chosen_days(where)
    if chosen is not None:
        return chosen
    steps = [place.step for place in where.standing.steps.values() if is_area_step(place.step)]
    days = {day for step in steps for day in weekdays(step.repeats) or ()}
    return tuple(day for day in WEEKDAYS if day in days)
