"""What comes next if everything is kept, with the versions of a course that are known by now."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING, NamedTuple

from coach.progress.closing import close_day
from coach.progress.days import following
from coach.progress.log import Mark
from coach.progress.opening import open_day
from coach.progress.ramp import LOOK_AHEAD
from coach.progress.unlocking import ahead

if TYPE_CHECKING:
    from datetime import date

    from coach.progress.journal import Journal
    from coach.progress.opening import Opening
    from coach.progress.state import State


class Coming(NamedTuple):
    """A step that comes, and its date."""

    step: str
    on: date


def coming(state: State, book: Journal, opening: Opening) -> Coming | None:
    """The next step of the course to come after an opened day if everything is kept; None within 200 days.

    The state is left as it is. Unlike `ramp.comes_next` it follows a later version of the course from that
    one's date on, and passes over steps of the household's own.
    """
    state, last = state.copy(), opening.date + timedelta(days=LOOK_AHEAD)
    while opening.date < last and _may_come(state, book, opening.date):
        keeping = {step: opening.marks.get(step, Mark.KEPT) for step in opening.checklist}
        close_day(state, replace(opening, marks=keeping))
        day = following(opening.date, state.zone)
        course = book.course_on(day)
        if course is not state.course:
            state.follow(course)
        opening = open_day(state, book, day)
        if opening.introduced and not state.records[opening.introduced].own:
            return Coming(opening.introduced, day)
    return None


def _may_come(state: State, book: Journal, day: date) -> bool:
    """Whether a step of the course is still ahead, or a later version may bring one."""
    is_last = all(version.since <= day for version in book.versions)
    return not is_last or any(not record.own for record in ahead(state))
