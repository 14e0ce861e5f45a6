"""What was kept before an import, where no file can be kept beside the database."""

from __future__ import annotations

import pytest

from coach.desk import overview, todos
from coach.errors import NotEditable, Unknown
from coach.habits.day import today
from coach.household import data, replacing
from habits.house import HOME, SMALL, House
from progress.living import a_course, on

START = "date,what,step,value\n2027-01-04,start,bed,\n"
WITHOUT_CUPS = a_course("bed", *(step for step in SMALL.steps[2:3]))


def lived(days: int) -> House:
    house = House().begun()
    for day in range(1, days + 1):
        house.at(day)
        for line in today(house.context, HOME).checklist:
            house.mark(day, line.step)
    return house


def version(house: House) -> int:
    home = house.store.version(HOME)
    assert home is not None
    return home.version


def test_before_anything_was_replaced_nothing_is_kept() -> None:
    house = lived(2)
    assert replacing.kept(house.context, HOME) == ()
    with pytest.raises(Unknown, match="No log was kept"):
        replacing.put_back(house.context, HOME, "log")


def test_a_first_import_has_nothing_to_keep() -> None:
    house = House()
    assert data.bring_in(house.context, HOME, START).kept is None


def test_an_import_can_be_taken_back_and_that_too() -> None:
    house = lived(4)
    log, day = data.export(house.context, HOME), today(house.context, HOME)
    data.load(house.context, HOME, START)
    replacing.put_back(house.context, HOME, "log")
    assert (data.export(house.context, HOME), today(house.context, HOME)) == (log, day)
    replacing.put_back(house.context, HOME, "log")
    assert data.export(house.context, HOME).splitlines() == START.splitlines()


def test_what_was_kept_comes_back_with_the_steps_that_have_vanished_since() -> None:
    house = lived(10)
    house.shelf.put(WITHOUT_CUPS)
    house.at(12)
    before = today(house.context, HOME)
    log = data.export(house.context, HOME)
    data.load(house.context, HOME, f"{START}2027-01-05,kept,job,\n")
    replacing.put_back(house.context, HOME, "log")
    assert (data.export(house.context, HOME), today(house.context, HOME)) == (log, before)
    assert "cups" in [line.step for line in before.checklist]


def test_what_was_kept_is_compared_with_what_is_here() -> None:
    house = lived(4)
    data.load(house.context, HOME, START)
    found = replacing.compare_kept(house.context, HOME, "log")
    assert found.now is not None
    assert (found.now.days, found.file.days, found.seen) == (0, 4, version(house))
    assert (found.file.first, found.file.last) == (on(1), on(4))


def test_what_is_planned_stays_and_the_kept_log_is_no_part_of_it() -> None:
    house = lived(2)
    todos.add(house.context, HOME, "Post the parcel")
    data.load(house.context, HOME, START)
    replacing.put_back(house.context, HOME, "log")
    assert [todo.title for todo in overview.todos(house.context, HOME).open] == ["Post the parcel"]


def test_nothing_is_put_back_over_what_nobody_has_looked_at() -> None:
    house = lived(4)
    data.load(house.context, HOME, START)
    seen = version(house)
    house.mark(4, "bed", "small")
    log = data.export(house.context, HOME)
    with pytest.raises(NotEditable, match="so nothing was replaced"):
        replacing.put_back(house.context, HOME, "log", seen)
    assert data.export(house.context, HOME) == log


def test_an_import_over_what_nobody_has_looked_at_changes_and_keeps_nothing() -> None:
    house = lived(2)
    seen = version(house)
    house.mark(2, "bed", "small")
    with pytest.raises(NotEditable):
        data.bring_in(house.context, HOME, START, seen=seen)
    assert replacing.kept(house.context, HOME) == ()


def test_a_household_that_began_meanwhile_is_not_replaced() -> None:
    house = House()
    found = data.preview(house.context, HOME, START)
    assert (found.now, found.seen) == (None, 0)
    house.begun()
    with pytest.raises(NotEditable):
        data.bring_in(house.context, HOME, START, seen=found.seen)


def test_rows_that_stand_twice_are_compared_as_often() -> None:
    house = House()
    data.load(house.context, HOME, f"{START}2027-01-04,kept,bed,\n2027-01-04,kept,bed,\n")
    found = data.preview(house.context, HOME, f"{START}2027-01-04,kept,bed,\n")
    assert (found.same, found.lost.rows, found.lost.marks, found.gained.rows) == (2, 1, 1, 0)
    assert (found.file.marks, found.file.days) == (1, 1)


def test_a_mark_that_was_taken_back_is_no_mark() -> None:
    house = House()
    found = data.preview(house.context, HOME, f"{START}2027-01-04,kept,bed,\n2027-01-04,clear,bed,\n")
    assert (found.file.rows, found.file.marks, found.file.days, found.file.steps) == (3, 0, 0, 0)
