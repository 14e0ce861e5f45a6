"""The shipped course keeps what the rules promise of it (rules §6, first two lines)."""

from __future__ import annotations

from datetime import date, timedelta
from functools import cache
from typing import TYPE_CHECKING

import pytest

from coach.coaching.lessons_folder import shipped_lessons
from coach.course.reader import load_course
from coach.progress.closing import close_day
from coach.progress.days import following
from coach.progress.journal import Version, journal
from coach.progress.log import Mark, Row, What
from coach.progress.opening import Opening, open_day
from coach.progress.ramp import Ramp, ramp
from coach.progress.replay import begin, replay

if TYPE_CHECKING:
    from coach.course.model import Course

MONDAY = date(2027, 1, 4)
LAST_DAYS = {"standard": 21, "gentle": 28}
COURSE: Course = load_course(shipped_lessons() / "three-weeks")
ROOTS = [step.id for step in COURSE.roots]
WAITING = [step.id for step in COURSE.steps if step.waits]


@cache
def everything_kept(root: str, pace: str, weekday: int) -> Ramp:
    return ramp(COURSE, root, pace, LAST_DAYS[pace] + 9, MONDAY + timedelta(days=weekday))


def marked(root: str, pace: str, start: date, missed: date, days: int) -> dict[str, date]:
    """When each step comes if everything is kept but one day, which is marked missed throughout."""
    book = journal([Version(date.min, COURSE)], [Row(start, What.START, root, pace)])
    state, day = begin(book), start
    for _ in range(days):
        opening = open_day(state, book, day)
        mark = Mark.MISSED if day == missed else Mark.KEPT
        close_day(state, with_marks(opening, mark))
        day = following(day, state.zone)
    return {name: record.introduced for name, record in state.records.items() if record.introduced}


def with_marks(opening: Opening, mark: Mark) -> Opening:
    marks = dict.fromkeys(opening.checklist, mark)
    return Opening(
        opening.date,
        opening.phase,
        opening.introduced,
        opening.checklist,
        marks,
        opening.comeback,
        opened=opening.opened,
    )


def test_a_household_has_several_first_steps_to_choose_from() -> None:
    assert len(ROOTS) >= 3


@pytest.mark.parametrize("weekday", range(7))
@pytest.mark.parametrize("pace", LAST_DAYS)
@pytest.mark.parametrize("root", ROOTS)
def test_with_everything_kept_the_last_waiting_step_settles_on_the_last_day(
    root: str, pace: str, weekday: int
) -> None:
    reached = everything_kept(root, pace, weekday)
    assert max(reached.settled[step] for step in WAITING) == LAST_DAYS[pace]
    assert max(reached.introduced.values()) <= LAST_DAYS[pace]
    assert set(reached.introduced) == {step.id for step in COURSE.steps}


@pytest.mark.parametrize("weekday", range(7))
@pytest.mark.parametrize("pace", LAST_DAYS)
@pytest.mark.parametrize("root", ROOTS)
def test_a_day_missed_throughout_delays_every_later_step_by_at_most_two_days(
    root: str, pace: str, weekday: int
) -> None:
    start, usual = MONDAY + timedelta(days=weekday), everything_kept(root, pace, weekday).introduced
    for number in range(LAST_DAYS[pace]):
        slowed = marked(root, pace, start, start + timedelta(days=number), LAST_DAYS[pace] + 3)
        late = [(slowed[step] - start).days + 1 - day for step, day in usual.items()]
        assert max(late) <= 2


def test_the_engine_tells_the_same_of_the_log_a_household_would_write() -> None:
    rows = [Row(MONDAY, What.START, ROOTS[0], "standard")]
    for number in range(21):
        day = MONDAY + timedelta(days=number)
        rows += [Row(day, What.KEPT, step) for step in replay(COURSE, rows, day).checklist]
    after = replay(COURSE, rows, MONDAY + timedelta(days=21))
    assert after.phase == "steady"
    assert {step.settled_on for step in after.steps.values() if step.step.waits} <= {
        MONDAY + timedelta(days=number) for number in range(21)
    }
