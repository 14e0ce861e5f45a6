"""Whatever the log, a week shows what its days show: what was due, and how it closed."""

from __future__ import annotations

from datetime import date, time
from itertools import pairwise
from typing import TYPE_CHECKING

from hypothesis import given

from coach.ground.ports import Context, Household
from coach.ground.weeks import WEEK, WeekStart, days_of, last_day, week_name, week_of
from coach.progress.days import exists
from coach.progress.opening import Phase
from coach.progress.replay import each_day
from coach.week.days import week
from habits.house import HOME, House
from property.as_tables import as_course, as_rows
from property.log_strategies import Case, cases

if TYPE_CHECKING:
    from coach.progress.standing import Standing, StepStanding
    from coach.week.answers import DueStep, Week

AWAY = {Phase.PAUSED: "away", Phase.LAPSED: "lapsed"}
STARTS = {"monday": WeekStart.MONDAY, "sunday": WeekStart.SUNDAY}


def household(case: Case, days: list[Standing], week_starts: str) -> Context:
    """The use cases' context on the case's last day, with its log as it stands."""
    house = House(as_course(case.course))
    home = Household(HOME, "course", days[-1].zone, time(3), 0, week_starts)
    with house.store.writing(HOME) as writing:
        writing.create(home)
        writing.append(as_rows(case.rows), house.now)
    return Context(house.store, house.shelf, lambda: house.now, pretend=days[-1].on)


def weeks(context: Context, days: list[Standing], starts: WeekStart) -> list[Week]:
    """Every week from the start to the one after the last day."""
    first, last = week_of(days[0].on, starts), week_of(days[-1].on, starts) + WEEK
    names = [week_name(first + number * WEEK) for number in range((last - first).days // 7 + 1)]
    return [week(context, HOME, name) for name in names]


def opened(day: Standing) -> set[str]:
    """The steps whose occurrence opened on the day itself."""
    if day.phase in AWAY:
        return set()
    return {step for step, place in day.steps.items() if place.open_since == day.on and is_active(place)}


def is_active(place: StepStanding) -> bool:
    return place.state in {"practising", "settled"}


def closings(days: list[Standing]) -> dict[tuple[str, date], tuple[str, date]]:
    """How each occurrence closed, read off the days one after the other."""
    found = {}
    for before, after in pairwise(days):
        for step, place in before.steps.items():
            since, then = place.open_since, after.steps.get(step)
            if since is None or not is_active(place):
                continue
            if then is None or then.open_since != since or not is_active(then):
                found[step, since] = _closing(before, after, step)
    return found


def _closing(before: Standing, after: Standing, step: str) -> tuple[str, date]:
    place, then = before.steps[step], after.steps.get(step)
    mark = before.marks.get(step) if before.phase not in AWAY else None
    if mark is not None:
        return mark.value, before.on
    return ("missed", before.on) if then and then.due > place.due else ("forgotten", after.on)


@given(cases())
def test_a_week_shows_on_each_day_what_was_due_on_it_and_how_that_closed(case: Case) -> None:
    days = list(each_day(as_course(case.course), as_rows(case.rows), case.until))
    by_date, closed = {day.on: day for day in days}, closings(days)
    for found in weeks(household(case, days, "monday"), days, WeekStart.MONDAY):
        for day in found.days:
            lived = by_date.get(day.date)
            if lived is None:
                continue
            due = (*day.habits, *day.jobs)
            assert {one.step for one in due} == opened(lived)
            assert day.rest == AWAY.get(lived.phase)
            if lived is not days[-1]:
                assert {one.step: _shown(one) for one in due} == {
                    one.step: closed.get((one.step, day.date), _today(days[-1], one)) for one in due
                }


def _shown(due: DueStep) -> tuple[str | None, date | None]:
    return due.closed, due.closed_on


def _today(last: Standing, due: DueStep) -> tuple[str | None, date | None]:
    """What is still open on the last day shows that day's mark."""
    mark = last.marks.get(due.step) if last.phase not in AWAY else None
    return (mark.value, last.on) if mark else (None, None)


@given(cases())
def test_no_log_makes_a_week_fail_and_every_week_has_its_seven_dates(case: Case) -> None:
    days = list(each_day(as_course(case.course), as_rows(case.rows), case.until))
    for name, starts in STARTS.items():
        for found in weeks(household(case, days, name), days, starts):
            assert [day.date for day in found.days] == list(days_of(found.first))
            assert found.last == last_day(found.first)
            gone = [day for day in found.days if not exists(day.date, days[-1].zone)]
            assert all(day.rest in {"no-day", "before-start"} for day in gone if day.date > days[-1].on)
            assert sum(day.minutes for day in found.days) == sum(
                due.minutes for day in found.days for due in (*day.habits, *day.jobs)
            )
            assert not any(day.jobs for day in found.days if day.date < days[0].on)
