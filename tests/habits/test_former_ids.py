"""Whoever names a step by an id it had formerly means the step (rules §4), in the household's log too."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from coach.errors import NotEditable, Unknown
from coach.ground.situation import situation
from coach.habits import path, steps
from coach.habits.day import day as day_on
from coach.habits.day import today
from coach.habits.several_days import several_rows
from coach.household import data, start
from habits.house import HOME, House
from progress.living import a_course, a_step, on

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from coach.habits.answers import MarkName

    Marks = Mapping[date, Mapping[str, MarkName | None]]

OLD = a_course(a_step("bed", 3), a_step("cups", 2, after=["bed"]), a_step("round", waits=False))
NEW = a_course(
    a_step("table", 3, formerly=["cups"]),
    a_step("bunk", 5, formerly=["bed"]),
    a_step("dry", formerly=["round"], repeats="FREQ=WEEKLY;BYDAY=WE", waits=False, after=["bunk"]),
)


def lived(days: int) -> House:
    """A household of the old course that kept everything, and then got the new one."""
    house = House(OLD).begun()
    for day in range(1, days + 1):
        house.at(day)
        for line in today(house.context, HOME).checklist:
            house.mark(day, line.step)
    house.shelf.put(NEW)
    return house.at(days + 1)


def test_todays_list_goes_on_under_the_new_ids_and_days_gone_by_keep_the_old() -> None:
    house = lived(6)
    assert [line.step for line in today(house.context, HOME).checklist] == ["table", "bunk"]
    assert [line.step for line in day_on(house.context, HOME, on(6)).checklist] == ["bed", "cups", "round"]
    view = path.step(house.context, HOME, "bunk")
    assert (view.state, view.introduced_on, view.kept) == ("settled", on(1), 6)
    assert [lesson.number for lesson in view.lessons] == [1, 2, 3]


def test_a_step_is_found_marked_and_changed_by_its_former_id_and_written_by_its_own() -> None:
    house = lived(6)
    assert path.step(house.context, HOME, "cups").step == "table"
    before = len(house.written())
    assert {line.step: line.mark for line in house.mark(7, "cups").checklist}["table"] == "kept"
    house.mark(7, "table")
    assert steps.adjust(house.context, HOME, "bed", {"minutes": 9}).step == "bunk"
    steps.set_aside(house.context, HOME, "bed")
    assert steps.restore(house.context, HOME, "bunk").state == "settled"
    with pytest.raises(NotEditable, match="has come already"):
        steps.take_next(house.context, HOME, "bed")
    assert house.written()[before:] == [
        *("7 kept table", '7 adjust bunk {"minutes":9}', "7 set-aside bunk", "7 restore bunk")
    ]


def test_two_steps_that_became_one_are_still_two_after_an_export_and_an_import() -> None:
    house = lived(6)
    house.shelf.put(a_course(a_step("bunk", 5, formerly=["bed", "cups"]), a_step("round", waits=False)))
    before = today(house.context, HOME)
    assert [line.step for line in before.checklist] == ["bunk", "round", "cups"]
    data.load(house.context, HOME, data.export(house.context, HOME))
    after = today(house.context, HOME)
    assert replace(after, version=before.version) == before


@pytest.mark.parametrize("name", ["bed", "bunk"])
def test_a_day_before_the_change_is_still_corrected_by_either_id_and_keeps_the_one_it_had(name: str) -> None:
    house = lived(6)
    today(house.context, HOME)
    day = house.mark(6, name, "missed")
    assert {line.step: line.mark for line in day.checklist}["bed"] == "missed"
    assert path.step(house.context, HOME, "bunk").kept == 5
    assert house.written()[-1] == "6 missed bed"
    with pytest.raises(Unknown):
        house.mark(6, "hatch")


def test_marks_of_several_days_around_the_change_take_either_id() -> None:
    house = lived(6)
    wanted: Marks = {on(6): {"bunk": "missed"}, on(7): {"bed": "small"}}
    with house.store.reading(HOME) as reading:
        rows = several_rows(situation(house.context, reading), wanted).log
    assert [(row.date, row.what.value, row.step) for row in rows] == [
        (on(6), "missed", "bed"),
        (on(7), "small", "bunk"),
    ]


def test_what_is_kept_in_between_is_what_a_fold_from_nothing_gives() -> None:
    house = lived(6)
    for day in range(7, 17):
        house.at(day)
        for line in today(house.context, HOME).checklist:
            house.mark(day, line.step)
    plain = house.without_cache()
    for day in range(1, 17):
        told = day_on(house.context, HOME, on(day))
        assert replace(day_on(plain, HOME, on(day)), version=told.version) == told


def test_an_export_of_a_household_that_was_renamed_is_read_in_again_and_by_another() -> None:
    house = lived(6)
    house.mark(7, "table")
    text = data.export(house.context, HOME)
    before = today(house.context, HOME)
    data.load(house.context, HOME, text)
    after = today(house.context, HOME)
    assert [line.step for line in after.checklist] == [line.step for line in before.checklist]
    other = House(NEW).at(7)
    data.load(other.context, HOME, text)
    assert [line.step for line in today(other.context, HOME).checklist] == ["table", "bunk"]
    assert path.step(other.context, HOME, "bunk").introduced_on == on(1)


def test_a_household_begins_with_a_step_by_its_former_id() -> None:
    house = House(NEW)
    assert start.start(house.context, HOME, "bed").introduced == "bunk"
