"""A ticked sheet entered as a whole: only differences, all or nothing, and the same as marking one by one."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from typing import TYPE_CHECKING, cast

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from areas.house import AreaHouse
from coach.areas import week as area_week
from coach.desk import dues
from coach.desk import overview as desk
from coach.desk.dues import TypedDue
from coach.errors import Malformed, Newer, NotEditable, Unknown
from coach.habits import day, few
from coach.habits.hands import Tap
from coach.paper.entering import Entry, enter
from coach.paper.sheet import sheet
from habits import marking
from habits.house import HOME, House
from progress.living import a_course, on
from week.house import settled

if TYPE_CHECKING:
    from datetime import date

    from coach.habits.answers import MarkName
    from coach.paper.answers import Sheet
    from coach.paper.entered import SheetClash

TODAY = 26
"""A Friday, the 29th of January; the sheet is that of its week, the fourth."""

WEEK, BEFORE = "2027-W04", "2027-W03"
STEPS = ("bed", "cups", "plants", "rooms", "desk")
MARKS: tuple[MarkName | None, ...] = ("kept", "small", "missed", "excused", None)
Wanted = dict[int, dict[str, "MarkName | None"]]


def entry(wanted: Wanted) -> Entry:
    return Entry({on(number): found for number, found in wanted.items()})


def entered(house: House, wanted: Wanted, week: str = WEEK, by: str = "", tap: Tap | None = None) -> Sheet:
    context = replace(house.context, by=by)
    return enter(context, HOME, week, lambda _: entry(wanted), tap or Tap())


def said(house: House) -> dict[tuple[date, str], str]:
    """The last row of the log by date and step."""
    return {(row.date, row.step): row.what.value for row in house.rows()}


def a_week(missing: int = 3) -> House:
    unmarked = frozenset((TODAY - ago, step) for ago in range(1, missing + 1) for step in STEPS)
    return settled(TODAY, unmarked=unmarked)


WANTED = st.dictionaries(
    st.integers(TODAY - 4, TODAY),
    st.dictionaries(st.sampled_from(STEPS), st.sampled_from(MARKS), max_size=4),
    max_size=5,
)


@settings(max_examples=25, deadline=None)
@given(WANTED)
def test_entering_is_the_same_as_marking_one_by_one(wanted: Wanted) -> None:
    at_once, one_by_one = a_week(), a_week()
    entered(at_once, wanted)
    for number in sorted(wanted):
        for step, mark in wanted[number].items():
            if mark:
                marking.mark(one_by_one.context, HOME, on(number), step, mark)
            else:
                marking.unmark(one_by_one.context, HOME, on(number), step)
    assert at_once.rows() == one_by_one.rows()
    assert day.today(at_once.context, HOME) == day.today(one_by_one.context, HOME)
    assert sheet(at_once.context, HOME, WEEK) == sheet(one_by_one.context, HOME, WEEK)


@settings(max_examples=10, deadline=None)
@given(WANTED)
def test_the_same_entered_again_writes_nothing(wanted: Wanted) -> None:
    house = a_week()
    first = entered(house, wanted)
    rows = house.rows()
    assert entered(house, wanted) == first
    assert house.rows() == rows


def test_the_answer_is_the_sheet_with_what_was_entered() -> None:
    house = a_week()
    found = entered(house, {TODAY - 1: {"bed": "kept"}, TODAY: {"bed": "small"}})
    line = next(line for line in found.lines if line.step == "bed")
    assert line.boxes == ("kept", "open", "open", "kept", "small", "open", "open")


@pytest.mark.parametrize(
    ("wanted", "error"),
    [
        ({TODAY + 1: {"bed": "kept"}}, NotEditable),
        ({TODAY - 1: {"nobody": "kept"}}, Unknown),
        ({TODAY - 8: {"bed": "kept"}}, Malformed),
    ],
)
def test_nothing_is_entered_where_something_cannot_be(wanted: Wanted, error: type[Exception]) -> None:
    house = a_week()
    rows = house.rows()
    with pytest.raises(error):
        entered(house, {TODAY: {"bed": "kept"}, **wanted})
    assert house.rows() == rows


def test_the_seventh_day_before_can_be_entered_and_the_eighth_can_not() -> None:
    house = a_week()
    entered(house, {TODAY - 7: {"bed": "missed"}}, BEFORE)
    assert said(house)[on(TODAY - 7), "bed"] == "missed"
    with pytest.raises(NotEditable, match=r"can no longer be changed"):
        entered(house, {TODAY - 8: {"bed": "missed"}}, BEFORE)


def test_what_is_entered_is_written_by_nobody() -> None:
    house = a_week()
    entered(house, {TODAY: {"bed": "kept"}}, by="ana")
    with house.store.reading(HOME) as reading:
        assert {one.by for one in reading.signed(on(TODAY), on(TODAY))} == {""}


def with_members(house: House) -> House:
    """The same with a person known to live there."""
    with house.store.people_writing() as people:
        people.add_person("ben", "Ben", house.now)
        people.put_member(HOME, "ben", "keeper", house.now)
    return house


def version(house: House) -> int:
    home = house.store.version(HOME)
    assert home is not None
    return home.version


def test_a_newer_mark_of_somebody_else_stands_and_nothing_else_is_entered() -> None:
    house = with_members(a_week())
    seen = version(house)
    marking.mark(replace(house.context, by="ben"), HOME, on(TODAY), "bed", "missed")
    rows = house.rows()
    with pytest.raises(Newer) as caught:
        entered(house, {TODAY - 1: {"cups": "kept"}, TODAY: {"bed": "kept"}}, tap=Tap(seen))
    clash = cast("tuple[SheetClash]", caught.value.now["clashes"])[0]
    assert (clash.date, clash.step, clash.mark, clash.name) == (on(TODAY), "bed", "missed", "Ben")
    assert house.rows() == rows
    entered(house, {TODAY: {"bed": "missed"}}, tap=Tap(seen))
    entered(house, {TODAY: {"bed": "kept"}}, tap=Tap(version(house)))
    assert said(house)[on(TODAY), "bed"] == "kept"


def test_what_only_a_few_had_left_out_is_entered_by_hand() -> None:
    names = ("a", "b", "c", "d", "e")
    house = House(a_course(*names, at_once=5)).begun("a")
    entered(house, {1: dict.fromkeys(names, "kept")}, "2027-W01")
    few.leave_few(house.at(2).context, HOME)
    left, also = [step for (date, step), mark in said(house).items() if date == on(2) and mark == "excused"]
    entered(house, {2: {left: "small"}}, "2027-W01")
    few.bring_back(house.context, HOME)
    assert (said(house)[on(2), left], said(house)[on(2), also]) == ("small", "clear")


def a_home() -> AreaHouse:
    """A home divided into areas, on the Friday of its second week, with rent due on the Thursday."""
    house = AreaHouse()
    house.at(10)
    for ago in range(9):
        with suppress(NotEditable):
            house.mark(10 - ago, "bed")
    due = TypedDue(name="Rent", on=str(on(11)), repeats="FREQ=WEEKLY")
    dues.add(house.context, HOME, due)
    house.at(12)
    return house


def test_tasks_and_dues_are_entered_in_the_same_write() -> None:
    house = a_home()
    [area] = sheet(house.context, HOME).areas
    task = area.tasks[0].task
    rent = sheet(house.context, HOME).dues[0].due
    before = version(house)
    wanted = Entry({on(12): {"bed": "kept"}}, {(on(11), task): True}, {(on(11), rent)})
    found = enter(house.context, HOME, "2027-W02", lambda _: wanted)
    assert found.areas[0].tasks[0].done == on(11)
    assert found.dues[0].seen_to
    assert said(house)[on(12), "bed"] == "kept"
    assert version(house) - before <= 2
    assert desk.desk(house.context, HOME).seen_to[0].on == on(11)


def test_a_task_entered_is_the_same_as_one_marked_and_can_be_taken_back() -> None:
    house, other = a_home(), a_home()
    task = sheet(house.context, HOME).areas[0].tasks[0].task
    enter(house.context, HOME, "2027-W02", lambda _: Entry(tasks={(on(11), task): True}))
    area_week.mark_task(other.context, HOME, on(11), task)
    assert area_week.this_week(house.context, HOME) == area_week.this_week(other.context, HOME)
    enter(house.context, HOME, "2027-W02", lambda _: Entry(tasks={(on(11), task): False}))
    assert sheet(house.context, HOME).areas[0].tasks[0].done is None


def test_a_task_that_is_unknown_keeps_the_marks_from_being_entered() -> None:
    house = a_home()
    rows = house.rows()
    wanted = Entry({on(12): {"bed": "kept"}}, {(on(11), "nothing"): True})
    with pytest.raises(Unknown):
        enter(house.context, HOME, "2027-W02", lambda _: wanted)
    assert house.rows() == rows
