"""This week's area: what is listed, what marks do, and the minutes by date."""

from __future__ import annotations

from dataclasses import replace

import pytest

from areas.house import AreaHouse
from coach.areas import tasks as area_tasks
from coach.areas import turns as area_turns
from coach.areas import week as area_week
from coach.areas.passes import area_now
from coach.errors import NotEditable, Unknown
from coach.ground.situation import situation
from habits.house import HOME
from progress.living import on

NEXT_TURN = 22  # the kitchen's second turn: three areas, one a week


@pytest.fixture
def house() -> AreaHouse:
    return AreaHouse(minutes=60)


def test_the_list_goes_as_far_as_the_minutes_and_the_rest_is_for_more_time(house: AreaHouse) -> None:
    assert house.listed == ["Oven", "Shelf 1"]
    assert [task.title for task in house.week.areas[0].if_time] == ["Shelf 2", "Shelf 3"]
    assert house.week.text == "Kitchen has its turn, for 60 minutes."
    assert house.week.areas[0].listed[0].caution is not None


def test_a_mark_shows_and_can_be_taken_back(house: AreaHouse) -> None:
    before = house.week
    found = house.done("Oven", 1)
    assert (found.areas[0].listed[0].done, found.done_minutes) == (on(1), 40)
    assert area_week.unmark_task(house.context, HOME, on(1), house.task("Oven")) == before


def test_the_next_turn_goes_on_where_this_one_stopped_and_then_begins_anew(house: AreaHouse) -> None:
    house.done("Oven", 1)
    house.live(NEXT_TURN - 1)
    assert house.week.areas[0].name == "Kitchen"
    assert house.listed == ["Shelf 1", "Shelf 2", "Shelf 3"]
    for title in house.listed:
        house.done(title, NEXT_TURN)
    house.live(21)
    assert house.listed == ["Oven", "Shelf 1"]
    assert house.week.areas[0].new_pass


def test_a_mark_given_later_for_last_week_counts_for_this_weeks_list() -> None:
    house = AreaHouse(["Kitchen"], minutes=60)
    house.live(8)
    assert house.listed == ["Oven", "Shelf 1"]
    house.done("Oven", 5)
    assert house.listed == ["Shelf 1", "Shelf 2", "Shelf 3"]


@pytest.mark.parametrize("day", [0, 1, 10])
def test_days_before_the_last_seven_before_the_start_and_to_come_cannot_be_marked(
    house: AreaHouse, day: int
) -> None:
    house.live(8)
    with pytest.raises(NotEditable, match="Tasks can be marked for today"):
        house.done("Oven", day)
    assert house.week.days == tuple(on(9 - ago) for ago in range(8))


def test_a_task_that_is_not_there_cannot_be_marked(house: AreaHouse) -> None:
    with pytest.raises(Unknown, match="no task “t99”"):
        area_week.mark_task(house.context, HOME, on(1), "t99")


def test_a_request_sent_again_is_taken_once(house: AreaHouse) -> None:
    oven = house.task("Oven")
    asked = replace(house.context, request_id="phone-1", again=True)
    area_week.mark_task(asked, HOME, on(1), oven)
    area_week.unmark_task(house.context, HOME, on(1), oven)
    found = area_week.mark_task(asked, HOME, on(1), oven)
    assert found.areas[0].listed[0].done is None


def test_what_was_done_not_long_ago_waits(house: AreaHouse) -> None:
    sheets = house.task("Sheets")
    area_tasks.change_task(house.context, HOME, sheets, {"every_days": 60})
    house.live(14)
    assert house.listed == ["Sheets", "Dust 1"]
    for title in ("Sheets", "Dust 1", "Dust 2"):
        house.done(title, 15)
    house.live(21)
    assert house.listed == ["Dust 1", "Dust 2"]
    assert [(task.title, task.ready) for task in house.week.areas[0].held_back] == [("Sheets", on(75))]


def test_the_short_task_of_a_day_is_the_first_short_one_left_and_stays_once_done(house: AreaHouse) -> None:
    area_turns.arrange(house.context, HOME, {"way": "both", "spot_minutes": 20})
    spot = house.week.spot
    assert spot is not None
    assert spot.title == "Shelf 1"
    found = house.done("Shelf 1", 1).spot
    assert found is not None
    assert (found.title, found.done) == ("Shelf 1", on(1))
    house.live(1)
    spot = house.week.spot
    assert spot is not None
    assert spot.title == "Shelf 2"


def test_the_minutes_fall_on_the_days_of_the_step_until_others_are_chosen(house: AreaHouse) -> None:
    assert house.areas.area_days == ("TH",)
    assert house.week.minutes == {on(4): 60}
    area_turns.arrange(house.context, HOME, {"area_days": ["TU", "SA", "SU"], "minutes_a_week": 61})
    assert house.week.minutes == {on(2): 21, on(6): 20, on(7): 20}
    area_turns.arrange(house.context, HOME, {"area_days": []})
    assert house.week.minutes == {}


def test_minutes_are_known_for_weeks_past_and_to_come(house: AreaHouse) -> None:
    house.live(16)
    area_turns.skip(house.context, HOME, on(22))
    assert house.minutes(on(1)) == {on(4): 60}
    assert house.minutes(on(15)) == {on(18): 60}
    assert house.minutes(on(22)) == {}
    assert house.minutes(on(29)) == {on(32): 60}
    assert house.minutes(on(-6)) == {}


def test_is_it_enough_points_out_what_takes_too_long_and_what_comes_too_rarely(house: AreaHouse) -> None:
    area_tasks.add_task(house.context, HOME, "kitchen", "detail", {"title": "Cellar", "minutes": 90})
    kitchen, _, bedroom = house.areas.areas
    assert (kitchen.minutes, kitchen.visits, kitchen.weeks) == (180, 3, 9)
    assert kitchen.remarks == (
        "“Cellar” takes 90 minutes, more than the 60 of a week: it stands alone in its week.",
    )
    assert bedroom.remarks[0].startswith("“Sheets” is asked for every 14 days (A source); here it comes")
    assert (kitchen.next_turn, bedroom.next_turn) == (on(1), on(15))


def test_a_change_holds_from_this_week_on_and_leaves_the_weeks_before(house: AreaHouse) -> None:
    house.live(8)
    area_turns.arrange(house.context, HOME, {"minutes_a_week": 20})
    assert house.listed == ["Tiles 1"]
    assert house.minutes(on(1)) == {on(4): 60}
    assert house.minutes(on(8)) == {on(11): 20}


def test_the_week_of_a_past_day_is_as_it_was_then(house: AreaHouse) -> None:
    house.live(10)
    with house.store.reading(HOME) as reading:
        then = area_now(situation(house.context, reading, on(3)))
    assert then is not None
    assert [area.area.name for area in then.opening.areas] == ["Kitchen"]
