"""What is said about the next step agrees with what then happens."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from hypothesis import assume, given
from hypothesis import strategies as st

from coach.progress.days import following
from coach.progress.journal import Version, journal
from coach.progress.log import MARKING, Row, What
from coach.progress.ramp import comes_next
from coach.progress.replay import begin, each_day, open_on, replay
from property.as_tables import as_course, as_rows
from property.course_strategies import courses, roots
from property.log_strategies import Case, cases

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from coach.course.model import Course
    from coach.progress.standing import Standing

FIRST = date(2027, 1, 4)
AWAY = {"paused", "lapsed"}
MANNERS = ["kept", "kept", "kept", "kept", "missed", "excused"]


def kinds(day: Standing) -> dict[str, str | None]:
    """The reasons of a day: the step each is about, by kind."""
    return {reason.kind: reason.step for reason in day.reasons}


def marked(day: Standing, what: What) -> list[Row]:
    """The rows of a day on which everything on its checklist is marked alike."""
    return [Row(day.on, what, step) for step in day.checklist]


@st.composite
def lives(draw: st.DrawFn) -> tuple[Course, list[Row]]:
    """Draw a course and the first weeks of a household that marks each day throughout in some manner."""
    table = draw(courses())
    course, rows = as_course(table), [Row(FIRST, What.START, draw(st.sampled_from(roots(table))))]
    for number, manner in enumerate(draw(st.lists(st.sampled_from(MANNERS), min_size=3, max_size=18))):
        rows += marked(replay(course, rows, FIRST + timedelta(days=number)), What(manner))
    return course, rows


def each_choice(course: Course, rows: Sequence[Row]) -> Iterator[tuple[Standing, Standing]]:
    """Every day as it opens without its marks, with the day after if everything on its list is kept."""
    for on in sorted({row.date for row in rows}):
        before = [row for row in rows if row.date < on or row.what not in MARKING]
        day = replay(course, before, on)
        yield day, replay(course, [*before, *marked(day, What.KEPT)], following(on, day.zone))


@given(cases(), st.data())
def test_where_nothing_is_decided_the_step_said_to_come_comes_and_otherwise_none(
    case: Case, data: st.DataObject
) -> None:
    course, rows = as_course(case.course), as_rows(case.rows)
    on = data.draw(st.sampled_from(list(each_day(course, rows, case.until)))).on
    before = [row for row in rows if row.date < on or (row.date == on and row.what not in MARKING)]
    day = replay(course, before, on)
    assume(day.phase not in AWAY and "returning" not in kinds(day))
    # A step whose rule was eased today settles tonight although nothing is kept.
    practised = [step.settling for step in day.steps.values() if step.state == "practising"]
    assume(all((reason.kept or 0) < (reason.needs or 0) for reason in practised))
    after = replay(course, [*before, *marked(day, What.EXCUSED)], following(on, day.zone))
    assume(after.phase not in AWAY)
    assert after.introduced == kinds(day).get("tomorrow")


@given(lives())
def test_where_only_the_morrow_is_waited_for_a_step_comes_if_everything_is_kept(
    life: tuple[Course, list[Row]],
) -> None:
    for day, after in each_choice(*life):
        if set(kinds(day)) == {"tomorrow"}:
            assert after.introduced is not None or "hold" in kinds(after)


@given(lives())
def test_every_day_says_why_no_other_step_has_come(life: tuple[Course, list[Row]]) -> None:
    for day, _ in each_choice(*life):
        said = kinds(day)
        ahead = [name for name, step in day.steps.items() if step.introduced_on is None]
        assert said
        assert ("complete" in said) == (not ahead)
        assert all(day.steps[step].state == "practising" for step in [said.get("settles")] if step)
        assert all(
            day.steps[step].state == "ahead" for step in [said.get("after"), said.get("tomorrow")] if step
        )


@given(lives())
def test_the_step_the_path_says_comes_next_comes_next_if_everything_is_kept(
    life: tuple[Course, list[Row]],
) -> None:
    course, rows = life
    last = rows[-1].date
    known = [row for row in rows if row.date < last or row.what not in MARKING]
    book = journal([Version(date.min, course)], known)
    state = begin(book)
    said = comes_next(state, book, open_on(state, book, last))
    comes, on = None, last
    while comes is None and on < last + timedelta(days=45):
        day = replay(course, known, on)
        known += marked(day, What.KEPT)
        on = following(on, day.zone)
        comes = replay(course, known, on).introduced
    # A monthly step may take longer to settle than this test looks ahead.
    assert comes == said or comes is None
