"""Marking a step and taking the mark back."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from datetime import date
from threading import Barrier
from typing import TYPE_CHECKING

import pytest

from coach.errors import Malformed, NotEditable, Unknown
from coach.habits import steps
from coach.habits.day import today
from habits import marking
from habits.house import HOME, House
from progress.living import on

if TYPE_CHECKING:
    from coach.habits.answers import MarkName


@pytest.mark.parametrize("mark", ["kept", "small", "missed", "excused"])
def test_a_mark_is_written_and_shown(mark: MarkName) -> None:
    house = House().begun()
    day = house.mark(1, "bed", mark)
    assert [(line.step, line.mark) for line in day.checklist] == [("bed", mark)]
    assert house.written() == [f"1 {mark} bed"]


def test_the_same_mark_again_changes_nothing() -> None:
    house = House().begun()
    first = house.mark(1, "bed")
    assert house.mark(1, "bed") == first
    assert house.written() == ["1 kept bed"]


def test_another_mark_takes_its_place_and_both_stay_in_the_log() -> None:
    house = House().begun()
    house.mark(1, "bed")
    assert house.mark(1, "bed", "missed").checklist[0].mark == "missed"
    assert house.written() == ["1 kept bed", "1 missed bed"]


def test_a_request_sent_twice_is_one_mark_even_if_something_else_came_between() -> None:
    house = House().begun()
    house.mark(1, "bed", "kept", "r1")
    house.mark(1, "bed", "missed", "r2")
    assert house.mark(1, "bed", "kept", "r1").checklist[0].mark == "missed"
    assert house.written() == ["1 kept bed", "1 missed bed"]


def test_a_mark_taken_back_is_gone_and_taking_it_back_again_writes_nothing() -> None:
    house = House().begun()
    house.mark(1, "bed")
    for _ in range(2):
        assert marking.unmark(house.context, HOME, on(1), "bed").checklist[0].mark is None
    assert house.written() == ["1 kept bed", "1 clear bed"]


def test_taking_back_twice_by_one_request_leaves_a_mark_set_between() -> None:
    house = House().begun()
    house.mark(1, "bed")
    marking.unmark(house.asked("r1"), HOME, on(1), "bed")
    house.mark(1, "bed", "small")
    assert marking.unmark(house.asked("r1"), HOME, on(1), "bed").checklist[0].mark == "small"


def test_today_and_the_seven_days_before_it_can_be_marked() -> None:
    house = House().begun()
    house.at(10)
    for day in range(3, 11):
        assert house.mark(day, "bed").editable
    assert len(house.written()) == 8


@pytest.mark.parametrize(
    ("day", "words"),
    [
        (
            2,
            (
                "5 January 2027 can no longer be changed. Marks can be changed for today, 13 January 2027, "
                "and the 7 days"
            ),
        ),
        (1, "4 January 2027 can no longer be changed"),
        (
            0,
            (
                "3 January 2027 lies before the start on 4 January 2027. "
                "Marks are for today and the 7 days before it."
            ),
        ),
        (
            11,
            (
                "14 January 2027 lies in the future; today is 13 January 2027. "
                "Marks are for today and the 7 days"
            ),
        ),
    ],
)
def test_no_other_day_can(day: int, words: str) -> None:
    house = House().begun()
    house.at(10)
    with pytest.raises(NotEditable, match=words):
        house.mark(day, "bed")
    with pytest.raises(NotEditable, match=words):
        marking.unmark(house.context, HOME, on(day), "bed")
    assert house.written() == []


def test_the_first_date_there_is_is_before_the_start_like_any_other() -> None:
    house = House().begun()
    house.at(25)
    with pytest.raises(NotEditable, match="1 January 1 lies before the start on 4 January 2027"):
        marking.unmark(house.context, HOME, date.min, "bed")


def test_after_midnight_today_is_still_the_day_that_began() -> None:
    house = House().begun()
    house.at(2, "02:59")
    with pytest.raises(NotEditable, match="lies in the future"):
        house.mark(2, "bed")
    assert house.mark(1, "bed").today


def test_a_step_nobody_knows_is_refused() -> None:
    house = House().begun()
    with pytest.raises(Unknown, match="There is no step “attic” on 4 January 2027"):
        house.mark(1, "attic")


def test_a_step_of_their_own_can_be_marked_from_the_day_it_was_added() -> None:
    house = House().begun()
    house.at(3)
    steps.add(house.context, HOME, "plants", {"title": "Plants"})
    assert "plants" in {line.step for line in house.mark(3, "plants").checklist}
    with pytest.raises(Unknown, match="There is no step “plants” on 5 January 2027"):
        house.mark(2, "plants")


def test_a_mark_of_no_kind_is_refused_before_anything_is_written() -> None:
    house = House().begun()
    with pytest.raises(ValueError, match="done"):
        house.mark(1, "bed", "done")  # type: ignore[arg-type]  # no mark
    assert house.written() == []


def test_marking_before_its_turn_brings_a_step() -> None:
    house = House().begun()
    day = house.mark(1, "lamp")
    assert day.introduced == "bed"
    assert [line.step for line in day.checklist] == ["bed", "lamp"]


def test_filling_in_the_days_before_changes_today() -> None:
    house = House().begun()
    house.at(9)
    assert today(house.context, HOME).phase == "lapsed"
    house.mark(5, "bed")
    assert today(house.context, HOME).phase == "ramping"


def together(house: House, *steps_: str) -> None:
    """Mark each of the steps from a thread of its own, all at once."""
    barrier = Barrier(len(steps_))

    def tap(step: str) -> None:
        barrier.wait()
        house.mark(1, step)

    with ThreadPoolExecutor(len(steps_)) as threads:
        list(threads.map(tap, steps_))


def test_two_phones_marking_the_same_line_at_once_write_it_once() -> None:
    house = House().begun()
    together(house, *["bed"] * 8)
    assert house.written() == ["1 kept bed"]


def test_two_phones_marking_different_lines_at_once_lose_none() -> None:
    house = House().begun()
    together(house, "bed", "cups", "job", "lamp")
    assert sorted(house.written()) == ["1 kept bed", "1 kept cups", "1 kept job", "1 kept lamp"]


def test_a_request_id_that_is_too_long_is_refused() -> None:
    house = House().begun()
    with pytest.raises(Malformed):
        house.mark(1, "bed", "kept", "r" * 10_000)
    assert house.written() == []
