"""A household with daily steps and weekday jobs, some weeks in: day 1 is Monday 4 January 2027."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any

from coach.progress.log import Row, What
from coach.progress.replay import replay
from coach.week.days import week
from habits.house import HOME, House
from progress.living import a_course, a_step, on, start

if TYPE_CHECKING:
    from coach.week.answers import Week, WeekDay

LINES = [
    {"title": "Dust", "minutes": 10},
    {"title": "Vacuum", "minutes": 10},
    {"title": "Mop", "minutes": 10},
]
JOBS: dict[str, dict[str, Any]] = {
    "rooms": {"repeats": "FREQ=WEEKLY;BYDAY=SA", "minutes": 60, "lines": LINES, "stop_after": 60},
    "desk": {"repeats": "FREQ=WEEKLY;BYDAY=TU", "minutes": 15},
    "bags": {"repeats": "FREQ=WEEKLY;INTERVAL=2;BYDAY=SU", "minutes": 20},
    "filter": {"repeats": "FREQ=MONTHLY;BYDAY=-1FR", "minutes": 5},
    "accounts": {"repeats": "FREQ=MONTHLY;BYMONTHDAY=-1", "minutes": 30},
}
COURSE = a_course(
    a_step("bed", 1, minutes=2, slot="morning"),
    *(a_step(name, waits=False, **keys) for name, keys in JOBS.items()),
    a_step("plants", repeats="FREQ=WEEKLY;BYDAY=MO,WE,FR", waits=False, minutes=3),
    a_step("cups", minutes=5, slot="evening"),
)


@cache
def kept_rows(until: int, unmarked: frozenset[tuple[int, str]]) -> tuple[Row, ...]:
    """The marks of a household that keeps everything before a day, but for what it leaves unmarked."""
    rows = start()
    for day in range(1, until):
        due = replay(COURSE, rows, on(day)).checklist
        rows += [Row(on(day), What.KEPT, step) for step in due if (day, step) not in unmarked]
    return tuple(rows[1:])


def settled(until: int, *, unmarked: frozenset[tuple[int, str]] = frozenset()) -> House:
    """A house in which everything was kept before a day, but for what is left unmarked; it is that day."""
    house = House(COURSE).begun()
    rows = kept_rows(until, unmarked)
    if rows:
        with house.store.writing(HOME) as writing:
            writing.append(rows, house.now)
    return house.at(until)


def seen(house: House, name: str | None = None) -> Week:
    """A week as the household sees it."""
    return week(house.context, HOME, name)


def day_of(house: House, day: int, name: str | None = None) -> WeekDay:
    """One day of a week, by its number."""
    return next(one for one in seen(house, name).days if one.date == on(day))


def jobs_of(found: WeekDay) -> list[tuple[str, str | None]]:
    """A day's jobs with how they closed."""
    return [(job.step, job.closed) for job in found.jobs]
