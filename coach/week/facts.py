"""What a week holds, date by date: the steps due, the area's minutes, and the minutes available."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta
from typing import TYPE_CHECKING

from coach.areas.passes import area_minutes, is_area_step
from coach.course.rule import WEEKDAYS
from coach.course.shapes import required, shape
from coach.errors import OutOfRange
from coach.ground.weeks import days_of, last_day, week_named
from coach.ground.wording import full_date
from coach.week.job_facts import held, is_job
from coach.week.occurrences import Closing, DayDue, Lived, coming_days, lived_days, lived_today
from coach.week.rules.load import DayLoad, day_load
from coach.week.rules.moving import moved

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from coach.course.model import Step
    from coach.ground.situation import Situation
    from coach.progress.log import Mark
    from coach.week.answers import WeekdayName

AVAILABLE = "available"
FURTHEST = timedelta(days=3660)


_WHOLE = shape(int)


@dataclass(frozen=True, slots=True)
class DayFacts:
    """One date of a week.

    Attributes:
        load: The steps due on it with the minutes they add, the area's minutes, and the minutes available.
    """

    due: DayDue
    load: DayLoad
    past: bool
    today: bool

    @property
    def date(self) -> date:
        """The date."""
        return self.due.date

    @property
    def weekday(self) -> WeekdayName:
        """The date's weekday as RFC 5545 names it."""
        return WEEKDAYS[self.date.weekday()]  # type: ignore[return-value]  # the tuple holds just these names


@dataclass(frozen=True, slots=True)
class WeekFacts:
    """A week.

    Attributes:
        first: Its first day.
        days: Its seven dates.
        closings: How what was due closed.
        held: The steps that are not moved before tomorrow.
        available: Minutes available by weekday, Monday 0.
        marks: What was marked on each date that was lived, by step.
    """

    first: date
    days: tuple[DayFacts, ...]
    closings: Mapping[tuple[str, date], Closing]
    held: frozenset[str]
    available: Mapping[int, int]
    today: date
    marks: Mapping[date, Mapping[str, Mark]]

    @property
    def over(self) -> bool:
        """Whether it lies wholly in the past, so that nothing in it can be planned any more."""
        return last_day(self.first) < self.today


def week_asked_for(where: Situation, name: str | None) -> date:
    """The first day of the week of that name; of the current one if none is named.

    Raises:
        Malformed: There is no such week.
        OutOfRange: It lies before the start, or more than ten years ahead.
    """
    week = where.week if name is None else week_named(name, where.starts)
    started = where.standing.started
    if last_day(week) < started:
        raise OutOfRange(
            f"The week of {full_date(week)} lies before the start on {full_date(started)}. "
            "Choose a later one."
        )
    if week - where.today > FURTHEST:
        raise OutOfRange(
            f"The week of {full_date(week)} lies more than ten years ahead. Choose an earlier one."
        )
    return week


def week_facts(where: Situation, first: date) -> WeekFacts:
    """What the week that begins on `first` holds."""
    last = last_day(first)
    lived = lived_days(where, first, last) if first <= where.today else Lived({}, {}, {})
    to_come = {
        due.date: due for due in coming_days(where, [day for day in days_of(first) if day > where.today])
    }
    area, available = area_minutes(where, first), minutes_available(where)
    days = tuple(
        _facts(where, _due(where, day, lived.days | to_come), area, available) for day in days_of(first)
    )
    return WeekFacts(first, days, lived.closings, held(where), available, where.today, lived.marks)


def today_facts(where: Situation) -> WeekFacts:
    """The same of today alone, which folds nothing."""
    lived, today = lived_today(where), where.today
    area, available = area_minutes(where, where.week), minutes_available(where)
    day = _facts(where, lived.days[today], area, available)
    return WeekFacts(where.week, (day,), lived.closings, held(where), available, today, lived.marks)


def _due(where: Situation, day: date, found: Mapping[date, DayDue]) -> DayDue:
    """A date that was folded or worked out; what is neither never happened, or lies before the start."""
    before = day < where.standing.started
    return found.get(day) or DayDue(day, "before-start" if before else "no-day")


def _facts(where: Situation, due: DayDue, area: Mapping[date, int], available: Mapping[int, int]) -> DayFacts:
    steps = [_beside_area(step, area) for step in due.steps]
    past = due.date < where.today
    load = day_load(due.date, steps, {} if due.rest else area, {} if past else available)
    return DayFacts(due, load, past, today=due.date == where.today)


def _beside_area(step: Step, area: Mapping[date, int]) -> Step:
    """A step that works in areas adds no minutes of its own where the week's area has its minutes."""
    return replace(step, minutes=0) if area and is_area_step(step) else step


def minutes_available(where: Situation) -> dict[int, int]:
    """The minutes the household has on weekdays, Monday 0; those it has not said are left out."""
    return dict(where.plan.read(AVAILABLE, _available).values())


def _available(key: str, value: int) -> tuple[int, int]:
    required(value, _WHOLE)
    if value < 0:
        raise ValueError("Minutes are none or more.")
    return WEEKDAYS.index(key), value


def is_open_job(facts: WeekFacts, day: DayFacts, step: Step) -> bool:
    """Whether a step is a weekday job of today or a day to come, and not marked."""
    return not day.past and is_job(step) and (step.id, day.date) not in facts.closings


def days_to_choose(facts: WeekFacts, day: DayFacts, step: Step) -> dict[date, str]:
    """The other dates of the week a job could be moved to, each with the rule it would get.

    Days gone by are among them: the job then comes on that weekday from the next week on.
    """
    start = day.due.starts.get(step.id)
    if start is None or step.id in facts.held or not is_open_job(facts, day, step):
        return {}
    rules = {to: moved(step.repeats, start, day.date, to) for to in days_of(facts.first) if to != day.date}
    return {to: rule for to, rule in rules.items() if rule}
