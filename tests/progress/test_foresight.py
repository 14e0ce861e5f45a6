"""The next step of a course if everything is kept, with a version that is to come."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from coach.progress.foresight import Coming, coming
from coach.progress.journal import Version, journal
from coach.progress.replay import begin, open_on
from coach.progress.state_form import state_json
from progress.living import a_course, a_step, days, marks, on, row, start

if TYPE_CHECKING:
    from coach.course.model import Course
    from coach.progress.log import Row

SMALL = a_course("bed", a_step("cups", after=["bed"]))
MORE = a_course("bed", a_step("cups", after=["bed"]), a_step("door", after=["cups"]))


def seen(rows: list[Row], day: int, *later: tuple[int, Course]) -> Coming | None:
    versions = [Version(date.min, SMALL), *(Version(on(since), course) for since, course in later)]
    book = journal(versions, rows)
    state = begin(book)
    opening = open_on(state, book, on(day))
    before = state_json(state)
    found = coming(state, book, opening)
    assert state_json(state) == before
    return found


def test_the_next_step_comes_once_the_one_before_has_held() -> None:
    assert seen(start(), 1) == Coming("cups", on(3))


def test_nothing_comes_once_all_have_come() -> None:
    rows = [*start(), *marks("kept", days(1, 6), "bed", "cups")]
    assert seen(rows, 6) is None


def test_a_version_that_is_to_come_brings_its_step_from_its_date_on() -> None:
    rows = [*start(), *marks("kept", days(1, 6), "bed", "cups")]
    assert seen(rows, 6, (9, MORE)) == Coming("door", on(9))


def test_a_step_of_the_households_own_is_passed_over() -> None:
    rows = [*start(), *marks("kept", days(1, 6), "bed", "cups")]
    rows += [row(6, "add", "own", '{"title": "Own", "after": ["cups"]}')]
    assert seen(rows, 5) is None
    assert seen(rows, 5, (7, MORE)) == Coming("door", on(8))


def test_what_is_marked_already_counts_as_it_is() -> None:
    assert seen([*start(), row(1, "missed", "bed")], 1) == Coming("cups", on(4))
