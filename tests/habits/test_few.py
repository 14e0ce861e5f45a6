"""Only a few today: what stays, what is left out, what can wait, and the way back."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from coach.errors import Repeated
from coach.ground.plan_rows import PlanRow
from coach.ground.situation import looking
from coach.habits import pauses, steps
from coach.habits.day import day as day_on
from coach.habits.day import day_view, today
from coach.habits.few import bring_back, leave_few
from habits import marking
from habits.house import HOME, House
from progress.living import a_course, a_step, on

if TYPE_CHECKING:
    from coach.habits.answers import Day
    from coach.habits.notes import Few

FIVE = a_course(
    *(a_step(name, waits=False) for name in "abcde"),
    a_step("week", waits=False, repeats="FREQ=WEEKLY;BYDAY=MO", minutes=30),
    at_once=9,
)


def a_house(day: int = 15) -> House:
    """Five daily steps and a weekly one, all there; b, c and d are the strongest. Day 15 is a Monday."""
    house = House(FIVE).begun()
    for number in range(1, day):
        house.at(number)
        for step in ("a", "week") if number < 8 else "bcd":
            house.mark(number, step)
        if number < 8:
            for step in "bcde":
                house.mark(number, step, "excused")
    return house.at(day)


def marked(day: Day) -> dict[str, str | None]:
    """Every line's mark."""
    return {line.step: line.mark for line in day.checklist}


def offer(house: House) -> Few:
    """What is offered, or was taken."""
    few = today(house.context, HOME).few
    assert few is not None
    return few


def test_the_three_strongest_stay_and_of_equal_ones_those_first_in_the_course() -> None:
    house = House(FIVE).begun()
    for step in "cdabe":
        house.mark(1, step, "kept" if step == "d" else "missed")
    house.at(2)
    few = offer(house)
    assert [one.step for one in few.stay] == ["d", "a", "b"]
    assert [one.step for one in few.excused] == ["c", "e"]
    assert (few.taken, few.open) == (False, False)


def test_a_line_that_can_be_done_on_a_later_day_waits() -> None:
    house = a_house().at(16)
    few = offer(house)
    assert [(one.step, one.until) for one in few.wait] == [("week", on(21))]
    assert few.text == (
        "The b, The c and The d stay. 2 others are excused for today, which counts neither way. "
        "The week can wait until Sunday."
    )
    assert marked(leave_few(house.context, HOME))["week"] is None


def test_a_line_that_is_over_tonight_is_left_out_like_the_daily_ones() -> None:
    house = a_house().at(21)
    assert [one.step for one in offer(house).excused] == ["a", "e", "week"]


def test_taking_it_marks_the_others_excused_in_one_go_and_once() -> None:
    house = a_house().at(16)
    before = len(house.rows())
    day = leave_few(replace(house.context, request_id="tap"), HOME)
    assert marked(day) == {"a": "excused", "b": None, "c": None, "d": None, "e": "excused", "week": None}
    with pytest.raises(Repeated):
        leave_few(replace(house.context, request_id="tap"), HOME)
    assert leave_few(house.context, HOME) == day
    assert len(house.rows()) == before + 2


def test_a_programs_request_is_taken_once() -> None:
    house = a_house().at(16)
    leave_few(house.asked("one"), HOME)
    bring_back(house.asked("two"), HOME)
    day = leave_few(house.asked("one"), HOME)
    assert set(marked(day).values()) == {None}


def test_taken_it_says_so_and_can_be_undone() -> None:
    house = a_house().at(16)
    few = leave_few(house.context, HOME).few
    assert few is not None
    assert (few.taken, [one.step for one in few.excused]) == (True, ["a", "e"])
    assert few.text == "Only a few today. 2 lines are excused."
    day = bring_back(house.context, HOME)
    assert set(marked(day).values()) == {None}
    assert day.few is not None
    assert not day.few.taken


def test_undoing_leaves_marks_that_were_made_otherwise_or_since() -> None:
    house = a_house().at(16)
    house.mark(16, "a", "excused")
    leave_few(house.context, HOME, shown="bc")
    assert marked(today(house.context, HOME)) == dict.fromkeys("ade", "excused") | dict.fromkeys(
        ["b", "c", "week"]
    )
    house.mark(16, "d", "kept")
    house.mark(16, "d", "excused")
    assert marked(bring_back(house.context, HOME)) == dict.fromkeys("ad", "excused") | dict.fromkeys(
        ["b", "c", "e", "week"]
    )
    rows = len(house.rows())
    bring_back(house.context, HOME)
    assert len(house.rows()) == rows


def test_a_line_that_was_set_aside_since_is_not_among_those_left_out() -> None:
    house = a_house()
    leave_few(house.context, HOME)
    left = [one.step for one in offer(house).excused]
    steps.set_aside(house.context, HOME, left[0])
    few = offer(house)
    assert few.taken
    assert [one.step for one in few.excused] == left[1:]
    assert few.text == "Only a few today. One line is excused."
    assert "excused" not in marked(bring_back(house.context, HOME)).values()


def test_a_mark_taken_back_by_hand_is_not_marked_again() -> None:
    house = a_house().at(16)
    leave_few(house.context, HOME)
    marking.unmark(house.context, HOME, on(16), "a")
    few = offer(house)
    assert (few.taken, [one.step for one in few.excused]) == (True, ["e"])
    marking.unmark(house.context, HOME, on(16), "e")
    assert not offer(house).taken


def test_what_the_page_showed_stays_although_somebody_has_marked_it_meanwhile() -> None:
    house = a_house().at(16)
    house.mark(16, "b")
    assert [one.step for one in offer(house).stay] == ["c", "d", "a"]
    day = leave_few(house.context, HOME, shown=("b", "c", "d"))
    assert marked(day) == {"a": "excused", "b": "kept", "c": None, "d": None, "e": "excused", "week": None}


def test_names_of_lines_that_are_not_on_the_list_are_none() -> None:
    house = a_house().at(16)
    assert marked(leave_few(house.context, HOME, shown=("nothing", "here")))["b"] is None


def test_three_daily_lines_or_fewer_are_few_already() -> None:
    house = a_house().at(16)
    house.mark(16, "a")
    assert offer(house).stay
    house.mark(16, "b")
    assert today(house.context, HOME).few is None
    rows = len(house.rows())
    leave_few(house.context, HOME)
    assert len(house.rows()) == rows


def test_it_stands_open_from_two_empty_days_on() -> None:
    house = a_house(15)
    opened = {}
    for day in range(15, 19):
        few = today(house.at(day).context, HOME).few
        opened[day] = few is not None and few.open
    assert opened == {15: False, 16: False, 17: True, 18: True}


def test_it_is_offered_today_alone_and_not_while_away() -> None:
    house = a_house(15)
    pauses.pause(house.context, HOME, on(17), on(18))
    house.at(16)
    assert day_on(house.context, HOME, on(15)).few is None
    assert today(house.at(17).context, HOME).few is None
    lapsed = today(house.at(40).context, HOME)
    assert (lapsed.phase, lapsed.few, lapsed.empty) == ("lapsed", None, None)


def said(house: House, day: int) -> str | None:
    """What is said of the day before."""
    empty = today(house.at(day).context, HOME).empty
    return empty.text if empty else None


def test_an_empty_day_gets_one_kind_line_and_a_day_to_fill_in() -> None:
    house = a_house(15)
    assert said(house, 15) is None
    assert said(house, 16) == "Yesterday is empty, and that is all right. Today counts as it is."
    assert said(house, 17) == "The last days are empty, and that is all right. Today counts as it is."
    empty = today(house.context, HOME).empty
    assert empty is not None
    assert (empty.date, empty.several) == (on(16), True)
    house.mark(16, "a", "missed")
    assert said(house, 17) is None


def test_nothing_is_said_of_days_away_or_before_the_start() -> None:
    house = House(FIVE).begun()
    assert said(house, 1) is None
    pauses.pause(house.context, HOME, until=on(2))
    assert said(house, 3) is None
    assert said(house, 4) is not None


def test_nothing_is_said_of_a_day_on_which_nothing_was_due() -> None:
    house = House(a_course(a_step("week", repeats="FREQ=WEEKLY;BYDAY=WE"))).begun()
    assert [said(house, day) for day in (1, 2, 3)] == [None] * 3
    assert said(house, 4) is not None


def test_a_value_that_cannot_be_read_is_left_out_and_named() -> None:
    house = a_house().at(16)
    leave_few(house.context, HOME)
    with house.store.writing(HOME) as writing:
        writing.put_plan([PlanRow(on(16), "few", on(16).isoformat(), '{"a": 1}')], house.now)
    with looking(house.context, HOME) as where:
        assert day_view(where).few is None
        assert [finding.kind for finding in where.findings] == ["plan"]
        assert "What was left out for a day (2027-01-19)" in where.findings[0].text
