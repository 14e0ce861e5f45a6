"""Replay: the fold from course and log to a standing on any day, from nothing or from a saved state."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from coach.errors import Malformed, OutOfRange, Unknown
from coach.progress.closing import close_day
from coach.progress.days import LONGEST_YEARS, exists, following, is_too_late
from coach.progress.journal import Journal, Version, journal
from coach.progress.log import What
from coach.progress.opening import Opening, Phase, open_day
from coach.progress.paces import STANDARD, checked_pace
from coach.progress.standing import Standing, standing_of
from coach.progress.state import State, new_state

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from coach.course.model import Course
    from coach.progress.log import Row


def begin(book: Journal) -> State:
    """The state before the first day opens.

    Raises:
        Malformed: The log has no start, or starts with a step or pace the course does not offer.
    """
    start = book.start_row()
    course = book.course_on(start.date)
    chosen = course.named(start.step)
    if start.step and (chosen is None or not chosen.is_root):
        roots = ", ".join(root.id for root in course.roots)
        raise Malformed(f"“{start.step}” is no step to begin with. Choose one of: {roots}.")
    return new_state(course, start.date, checked_pace(start.value or STANDARD, course.paces))


def _next_date(state: State) -> date:
    return state.started if state.through is None else following(state.through, state.zone)


def _opened(state: State, book: Journal, day: date) -> Opening:
    course = book.course_on(day)
    if course is not state.course:
        state.follow(course)
    return open_day(state, book, day)


def close_through(state: State, book: Journal, last: date) -> None:
    """Fold every household day up to and with `last` into the state."""
    while (day := _next_date(state)) <= last:
        close_day(state, _opened(state, book, day))


def open_on(state: State, book: Journal, on: date) -> Opening:
    """Fold the days before `on` into the state and open `on`.

    Raises:
        Unknown: The date lies before the next one to open or too far after the start, or never happened in
            the household's zone.
    """
    _check_reach(state, on)
    while (day := _next_date(state)) < on:
        close_day(state, _opened(state, book, day))
    if day != on:
        raise _no_such_day(state, on)
    return _opened(state, book, on)


def each_closed(state: State, book: Journal, first: date, last: date) -> Iterator[Opening]:
    """Each household day between two dates, both included, once it is closed.

    While a day is looked at, the state is the one after its close; the days before the first are folded in.
    """
    while (day := _next_date(state)) <= last:
        opening = _opened(state, book, day)
        close_day(state, opening)
        if day >= first:
            yield opening


def _check_reach(state: State, on: date) -> None:
    if is_too_late(on, state.started):
        raise OutOfRange(
            f"{_said(on)} lies more than {LONGEST_YEARS} years after the start on {_said(state.started)}. "
            "Choose an earlier date."
        )


def _no_such_day(state: State, on: date) -> Unknown:
    if on < state.started:
        return OutOfRange(f"{_said(on)} lies before the start on {_said(state.started)}.")
    if not exists(on, state.zone):
        return Unknown(f"{_said(on)} never happened in {state.zone}: the calendar there went past it.")
    return OutOfRange(f"{_said(on)} lies before the days that are left to open.")


def _said(day: date) -> str:
    return f"{day.day} {day:%B} {day.year}"


def _book(course: Course, rows: Sequence[Row]) -> Journal:
    """The log of a household that follows one version of a course, whose paces are all there are."""
    for row in rows:
        if row.what is What.PACE:
            checked_pace(row.value, course.paces)
    return journal([Version(date.min, course)], rows)


def replay(course: Course, rows: Sequence[Row], until: date) -> Standing:
    """Where a household stands as `until` opens.

    Args:
        course: The course it follows.
        rows: Its log in the order written.
        until: A household day, not before the start.

    Raises:
        Malformed: The log has no start or a value in it cannot be read.
        Unknown: `until` is no household day.
    """
    book = _book(course, rows)
    state = begin(book)
    return standing_of(state, open_on(state, book, until))


def each_day(course: Course, rows: Sequence[Row], until: date) -> Iterator[Standing]:
    """The standing on every household day from the start to `until`.

    Raises:
        Malformed: The log has no start or a value in it cannot be read.
        OutOfRange: `until` lies too far after the start.
    """
    book = _book(course, rows)
    state = begin(book)
    _check_reach(state, until)
    while (day := _next_date(state)) <= until:
        opening = _opened(state, book, day)
        yield standing_of(state, opening)
        if day == until:
            return
        close_day(state, opening)


def before_start(course: Course) -> Standing:
    """The course as it lies ahead of a household that has not started: nothing has come."""
    state = new_state(course, date.min, STANDARD)
    nothing = Opening(date.min, Phase.RAMPING, None, (), {}, None, opened=False)
    return standing_of(state, nothing)
