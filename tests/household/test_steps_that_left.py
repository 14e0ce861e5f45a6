"""A log of an older course, imported where nobody has followed it: nothing that was marked is lost."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime
from typing import TYPE_CHECKING

import pytest

from coach.coaching.library import FolderLibrary
from coach.errors import FaultyFile
from coach.habits import path
from coach.habits.day import day as day_on
from coach.household import data
from habits.house import HOME, House
from progress.living import a_step, on
from store.older_course import DUMP, TODAY, told_before

if TYPE_CHECKING:
    from coach.habits.path_answers import PathStep

HEAD = "date,what,step,value\n"
OLD = f"{HEAD}{on(1)},start,bed,\n{on(1)},kept,bed,\n{on(2)},kept,dishes,\n{on(3)},small,dishes,\n"


@pytest.fixture
def house() -> House:
    """A house that has not begun; its catalogue has a step that stood in the course once."""
    return House(catalogue=[a_step("dishes", 3, minutes=4)]).at(4)


def steps(house: House) -> dict[str, PathStep]:
    return {step.step: step for step in path.path(house.context, HOME).steps}


def test_a_step_that_left_for_the_catalogue_goes_on_as_the_households_own(house: House) -> None:
    data.load(house.context, HOME, OLD)
    dishes = steps(house)["dishes"]
    assert (dishes.own, dishes.introduced_on, dishes.kept) == (True, on(2), 2)
    assert {line.step: line.mark for line in day_on(house.context, HOME, on(3)).checklist}[
        "dishes"
    ] == "small"


def test_what_it_exports_then_is_read_back_as_it_is(house: House) -> None:
    data.load(house.context, HOME, OLD)
    log = data.export(house.context, HOME)
    other = House(catalogue=[a_step("dishes", 3, minutes=4)]).at(4)
    data.load(other.context, HOME, log)
    assert (data.export(other.context, HOME), steps(other)) == (log, steps(house))


def test_a_household_that_began_with_one_has_it_from_that_day(house: House) -> None:
    data.load(house.context, HOME, f"{HEAD}{on(1)},start,dishes,\n{on(1)},kept,dishes,\n")
    found = steps(house)
    assert (found["dishes"].introduced_on, found["dishes"].kept) == (on(1), 1)
    assert found["bed"].introduced_on == on(1)


def test_a_step_that_nobody_knows_is_refused_still(house: House) -> None:
    with pytest.raises(FaultyFile, match="There is no step “moon”"):
        data.load(house.context, HOME, f"{OLD}{on(3)},kept,moon,\n")
    assert house.store.version(HOME) is None


def test_tern_streets_log_of_the_older_course_keeps_every_outcome() -> None:
    """Of each step the outcomes that it had, by the name that it has now."""
    house = House()
    context = replace(
        house.context, library=FolderLibrary(), clock=lambda: datetime(2027, 1, 24, 12, tzinfo=UTC)
    )
    with closing(sqlite3.connect(":memory:")) as connection:
        connection.executescript(DUMP.read_text("utf-8"))
        rows = connection.execute("SELECT date, what, step, value FROM log ORDER BY seq").fetchall()
    data.load(context, HOME, HEAD + "".join(",".join(row) + "\n" for row in rows))
    found = {step.step: step for step in path.path(context, HOME).steps}
    course = context.library.course("three-weeks")
    for line in told_before()[1]:
        name, _, introduced, _, counted, _ = line.split()
        named = course.named(name)
        # A step without a mark is not named in the log.
        if introduced != str(TODAY) and counted != "0/0":
            kept = found[named.id if named else name].kept
            assert (name, kept) == (name, int(counted.split("/")[0]))
