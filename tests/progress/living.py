"""Small courses and logs in a few words: days are counted from 1, the first is a Monday."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from coach.course.definition import step_from
from coach.course.model import Course, Lesson, Step
from coach.progress.journal import Version, journal
from coach.progress.log import Row, What
from coach.progress.replay import begin, close_through, each_day, open_on, replay

if TYPE_CHECKING:
    from collections.abc import Iterable

    from coach.progress.opening import Opening
    from coach.progress.standing import Standing
    from coach.progress.state import State

FIRST = date(2027, 1, 4)


def on(day: int) -> date:
    """The date of that day, counted from 1."""
    return FIRST + timedelta(days=day - 1)


def a_step(name: str, lessons: int = 0, **keys: Any) -> Step:  # noqa: ANN401  keys of every kind
    """A step as its file would define it; with so many lessons, numbered from 1."""
    texts = tuple(Lesson(f"{name} {number}", "...") for number in range(1, lessons + 1))
    return step_from(name, {"title": f"The {name}"} | keys, texts)


def a_course(*steps: Step | str, **numbers: Any) -> Course:  # noqa: ANN401  numbers of every kind
    """A course of these steps; a bare name is a daily waiting root that settles at 2 of 3."""
    found = tuple(a_step(step) if isinstance(step, str) else step for step in steps)
    return Course("Small", found, **numbers)


def row(day: int, what: str, step: str = "", value: str = "") -> Row:
    """One row of a log."""
    return Row(on(day), What(what), step, value)


def start(step: str = "", pace: str = "") -> list[Row]:
    """The row that starts the household on day 1."""
    return [row(1, "start", step, pace)]


def marks(what: str, days: Iterable[int], *steps: str) -> list[Row]:
    """The same mark for each of the steps on each of the days."""
    return [row(day, what, step) for day in days for step in steps]


def days(first: int, last: int) -> range:
    """The days from one to another, both included."""
    return range(first, last + 1)


def stand(course: Course, rows: list[Row], day: int) -> Standing:
    """Where the household stands as the day opens."""
    return replay(course, rows, on(day))


def lived(course: Course, rows: list[Row], until: int) -> dict[int, Standing]:
    """The standing on each day up to one, by the day's number."""
    return {standing.day: standing for standing in each_day(course, rows, on(until))}


def closed(course: Course, rows: list[Row], through: int) -> State:
    """The state after the close of a day."""
    book = journal([Version(date.min, course)], rows)
    state = begin(book)
    close_through(state, book, on(through))
    return state


def opened(course: Course, rows: list[Row], day: int) -> tuple[State, Opening]:
    """The state after the opening of a day, with that opening."""
    book = journal([Version(date.min, course)], rows)
    state = begin(book)
    return state, open_on(state, book, on(day))
