"""When the course's files change, days already closed keep what they were."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from coach.errors import FaultyFile
from coach.habits import path, steps
from coach.habits.day import day as day_on
from coach.habits.day import today
from coach.household import data
from habits.house import HOME, SMALL, House
from progress.living import a_course, a_step, on

if TYPE_CHECKING:
    from coach.course.model import Course

WITH_MAT = a_course("bed", a_step("mat", after=["bed"], waits=False), *SMALL.steps[1:])
WITHOUT_CUPS = a_course("bed", *(step for step in SMALL.steps[2:3]))


def lived(days: int, course: Course = SMALL) -> House:
    house = House(course).begun()
    for day in range(1, days + 1):
        house.at(day)
        for line in today(house.context, HOME).checklist:
            house.mark(day, line.step)
    return house


def days_before(house: House, last: int) -> list[object]:
    return [day_on(house.context, HOME, on(day)) for day in range(1, last)]


def test_a_step_that_came_into_the_course_is_there_from_today() -> None:
    house = lived(10)
    before = days_before(house, 10)
    house.shelf.put(WITH_MAT)
    assert "mat" in [step.step for step in path.path(house.context, HOME).steps]
    assert days_before(house, 10) == before


def test_the_new_course_holds_from_the_day_it_is_noticed() -> None:
    house = lived(10)
    house.shelf.put(WITH_MAT)
    house.at(12)
    assert today(house.context, HOME).introduced == "mat"
    assert day_on(house.context, HOME, on(11)).introduced is None


def test_a_step_that_vanished_stays_with_those_who_have_it() -> None:
    house = lived(10)
    house.shelf.put(WITHOUT_CUPS)
    found = {step.step: step for step in path.path(house.context, HOME).steps}
    assert found["cups"].state == "settled"
    assert "cups" in [line.step for line in today(house.context, HOME).checklist]
    assert house.mark(10, "cups", "small").editable


def test_a_step_that_vanished_keeps_its_lessons_whatever_was_kept_of_its_household() -> None:
    house = lived(5, a_course("bed", a_step("cups", 3, after=["bed"])))
    house.shelf.put(WITHOUT_CUPS)
    house.at(6)
    today(house.context, HOME)
    house.at(7)
    house.mark(7, "bed")
    kept, plain = path.step(house.context, HOME, "cups"), path.step(house.without_cache(), HOME, "cups")
    assert kept.lessons == plain.lessons
    assert kept.lessons
    assert today(house.context, HOME).lesson == today(house.without_cache(), HOME).lesson


def test_a_change_noticed_by_a_clock_that_was_ahead_does_not_hold_before_its_day() -> None:
    house = lived(5)
    house.shelf.put(WITH_MAT)
    house.at(20)
    today(house.context, HOME)
    house.at(6)
    assert "mat" in [step.step for step in path.path(house.context, HOME).steps]
    versions = house.store.version(HOME)
    for _ in range(3):
        today(house.context, HOME)
    assert house.store.version(HOME) == versions


def test_a_step_that_vanished_before_it_came_is_gone_from_the_path() -> None:
    house = lived(2)
    house.shelf.put(WITHOUT_CUPS)
    assert [step.step for step in path.path(house.context, HOME).steps] == ["bed", "job"]


def test_a_change_is_noticed_once_and_dated_by_the_day_it_was_noticed() -> None:
    house = lived(10)
    house.shelf.put(WITH_MAT)
    house.at(12)
    for _ in range(3):
        today(house.context, HOME)
    with house.store.reading(HOME) as reading:
        assert [version.since for version in reading.courses()] == [on(1), on(12)]


def test_marking_notices_a_change_too() -> None:
    house = lived(10)
    house.shelf.put(WITH_MAT)
    assert [line.step for line in house.mark(10, "mat").checklist if line.step == "mat"] == ["mat"]
    with house.store.reading(HOME) as reading:
        assert len(reading.courses()) == 2


def test_a_change_made_twice_on_a_day_leaves_the_last() -> None:
    house = lived(10)
    house.shelf.put(WITH_MAT)
    today(house.context, HOME)
    house.shelf.put(SMALL)
    assert "mat" not in [step.step for step in path.path(house.context, HOME).steps]
    today(house.context, HOME)
    house.at(12)
    assert "mat" not in [step.step for step in path.path(house.context, HOME).steps]


def test_correcting_a_day_before_the_change_uses_the_course_of_that_day() -> None:
    house = lived(30)
    house.shelf.put(a_course("bed", a_step("cups", after=["bed"], settles={"kept": 9, "of": 9})))
    today(house.context, HOME)
    house.at(33)
    house.mark(27, "bed", "missed")
    cached, plain = today(house.context, HOME), today(house.without_cache(), HOME)
    assert cached == plain
    assert path.step(house.context, HOME, "cups").settled_on == on(4)


def test_todays_page_follows_new_lessons_at_once() -> None:
    house = House().begun()
    first = today(house.context, HOME).lesson
    house.shelf.put(a_course(a_step("bed", 1, title="Covers")))
    second = today(house.context, HOME)
    assert first is not None
    assert second.checklist[0].title == "Covers"


def test_an_import_begins_with_the_course_as_it_is() -> None:
    house = lived(10)
    text = data.export(house.context, HOME)
    house.shelf.put(WITH_MAT)
    data.load(house.context, HOME, text)
    with house.store.reading(HOME) as reading:
        assert [version.digest for version in reading.courses()] == [house.shelf.course("").digest]
    assert day_on(house.context, HOME, on(3)).introduced == "mat"


def test_a_household_whose_course_lost_a_step_reads_its_own_export_in_again() -> None:
    house = lived(10)
    house.shelf.put(WITHOUT_CUPS)
    house.at(12)
    house.mark(12, "cups", "small")
    before = days_before(house, 12), today(house.context, HOME)
    data.load(house.context, HOME, data.export(house.context, HOME))
    assert (days_before(house, 12), today(house.context, HOME)) == before
    with house.store.reading(HOME) as reading:
        assert [version.since for version in reading.courses()] == [on(1), on(12)]


def test_what_has_vanished_before_it_is_noticed_is_known_too() -> None:
    house = lived(10)
    house.shelf.put(WITHOUT_CUPS)
    data.load(house.context, HOME, data.export(house.context, HOME))
    states = {step.step: step.state for step in path.path(house.context, HOME).steps}
    assert states["cups"] == "settled"


def test_another_household_has_never_known_a_step_that_vanished() -> None:
    house, other = lived(10), House(WITHOUT_CUPS).at(10)
    log = data.export(house.context, HOME)
    with pytest.raises(FaultyFile, match="There is no step “cups” on that date"):
        data.load(other.context, HOME, log)


def test_a_step_that_was_the_households_own_before_the_course_had_it_is_no_fault() -> None:
    house = lived(3)
    steps.add(house.context, HOME, "mat", {"title": "The mat", "waits": False})
    house.at(5)
    house.shelf.put(WITH_MAT)
    today(house.context, HOME)
    log = data.export(house.context, HOME)
    data.load(house.context, HOME, log)
    assert data.export(house.context, HOME) == log


def test_a_step_no_version_has_known_is_refused_still() -> None:
    house = lived(10)
    house.shelf.put(WITHOUT_CUPS)
    log = data.export(house.context, HOME)
    with pytest.raises(FaultyFile, match="There is no step “attic” on that date"):
        data.load(house.context, HOME, f"{log}{on(9)},kept,attic,\n")


def test_steps_that_vanished_keep_their_order_and_own_ones_come_behind_them() -> None:
    roots = a_course("bed", "cups", "lamp", "mat", at_once=4)
    house = House(roots).begun()
    steps.add(house.context, HOME, "plants", {"title": "Plants", "waits": False})
    steps.add(house.context, HOME, "attic", {"title": "Attic", "waits": False})
    for day in range(1, 8):
        house.at(day)
        for line in today(house.context, HOME).checklist:
            house.mark(day, line.step)
    house.shelf.put(a_course("bed", "lamp"))
    shown = [step.step for step in path.path(house.context, HOME).steps]
    assert shown == ["bed", "lamp", "cups", "mat", "plants", "attic"]
    today(house.context, HOME)
    house.at(8)
    house.shelf.put(a_course("bed", "gate"))
    shown = [step.step for step in path.path(house.context, HOME).steps]
    assert shown == ["bed", "gate", "lamp", "cups", "mat", "plants", "attic"]
