"""By need in a household: chosen, explained, foretold, given away, and held against later changes."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from areas.house import AreaHouse
from coach.areas import tasks as area_tasks
from coach.areas import turns as area_turns
from coach.areas import week as area_week
from coach.areas.wording import NO_TURN
from coach.errors import Malformed
from coach.habits import pauses
from habits.house import HOME
from progress.living import on


@pytest.fixture
def house() -> AreaHouse:
    """Kitchen 90 minutes, Bath 30, Bedroom 65, the last with sheets every 14 days; by need, forty a week."""
    house = AreaHouse(minutes=40)
    area_turns.arrange(house.context, HOME, {"mode": "need"})
    return house


def test_the_area_that_needs_it_most_has_the_week_and_the_page_says_why(house: AreaHouse) -> None:
    assert house.areas.mode == "need"
    assert (house.week.areas[0].name, house.week.why) == (
        "Kitchen",
        "Kitchen: “Oven” has not been finished yet.",
    )
    assert house.areas.undo == "Arranged the turns: the area that needs it most"
    house.live(7)
    assert house.week.why == "Bedroom: “Dust 2” has not been finished yet."


@pytest.mark.parametrize(
    ("done", "lived", "said"),
    [
        (1, 28, "Kitchen: “Oven” is 2 weeks over."),
        (1, 21, "Kitchen: “Oven” is 1 week over."),
        (1, 14, "Kitchen: “Oven” is due now."),
        (7, 14, "Kitchen: “Oven” is due in 6 days."),
        (7, 21, "Kitchen: “Oven” is 1 day over."),
        (5, 7, "Kitchen: “Oven” is due in 1 week."),
    ],
)
def test_what_is_over_is_said_in_weeks_or_days(done: int, lived: int, said: str) -> None:
    house = AreaHouse(["Kitchen"], minutes=40)
    area_turns.arrange(house.context, HOME, {"mode": "need"})
    area_tasks.change_task(house.context, HOME, house.task("Oven"), {"every_days": 14, "minutes": 300})
    house.live(done - 1)
    house.done("Oven", done)
    house.live(lived - done + 1)
    assert house.week.why == said


def test_an_area_with_the_same_list_as_others_that_waited_too_long_says_so() -> None:
    house = AreaHouse(["Bath", "Shower", "Spare bath"], minutes=10)
    area_turns.arrange(house.context, HOME, {"mode": "need"})
    first = house.week.areas[0]
    found, said = [first.name], [house.week.why]
    for day in range(1, 57, 7):
        for task in house.week.areas[0].listed:
            if house.week.areas[0].name == first.name:
                area_week.mark_task(house.context, HOME, on(day), task.task)
        house.live(7)
        found.append(house.week.areas[0].name)
        said.append(house.week.why)
    assert any(f"{first.name}: no turn for 6 weeks." == one for one in said), said


def test_an_area_that_has_no_turn_in_the_coming_year_is_pointed_out() -> None:
    house = AreaHouse(minutes=40)
    area_turns.arrange(house.context, HOME, {"mode": "need"})
    for area in ("kitchen", "bedroom"):
        for number in range(9):
            area_tasks.add_task(
                house.context, HOME, area, "detail", {"title": f"Large {area} {number}", "minutes": 40}
            )
    area_tasks.remove_task(house.context, HOME, house.task("Tiles 1"))
    area_tasks.change_task(house.context, HOME, house.task("Tiles 2"), {"minutes": 1})
    found = {area.name: area for area in house.areas.areas}
    assert found["Bath"].next_turn is None
    assert NO_TURN in found["Bath"].remarks
    assert NO_TURN not in found["Kitchen"].remarks


def away_for_good(house: AreaHouse) -> None:
    """Paused from the second Monday on, with no end, on the Wednesday after it."""
    pauses.pause(house.context, HOME, on(8))
    house.live(7)
    house.at(10)


def test_while_the_household_is_away_for_good_no_area_is_passed_over(house: AreaHouse) -> None:
    away_for_good(house)
    assert [area.next_turn for area in house.areas.areas] == [None, None, None]
    assert not any(NO_TURN in area.remarks for area in house.areas.areas)


def test_a_week_away_says_nothing_of_need_and_is_given_to_nobody(house: AreaHouse) -> None:
    away_for_good(house)
    assert (house.week.kind, house.week.why) == ("away", "")
    with pytest.raises(Malformed, match="Nobody has a turn this week"):
        area_turns.give(house.context, HOME, "bath")


def test_a_change_of_the_lists_in_a_week_away_leaves_the_next_one_to_need(house: AreaHouse) -> None:
    pauses.pause(house.context, HOME, on(8), on(14))
    house.live(7)
    house.at(10)
    area_tasks.add_task(house.context, HOME, "bath", "detail", {"title": "Ceiling", "minutes": 300})
    house.at(15)
    assert house.week.areas[0].name == "Bath"


def test_weeks_to_come_are_a_forecast_and_this_week_is_none(house: AreaHouse) -> None:
    weeks = area_turns.rotation(house.context, HOME).weeks
    assert [week.forecast for week in weeks[:3]] == [False, True, True]
    assert weeks[0].text == "Kitchen: “Oven” has not been finished yet."
    names = [week.areas[0].name for week in weeks[:3]]
    assert names == ["Kitchen", "Bedroom", "Kitchen"]
    for title in house.listed:
        house.done(title, 1)
    house.live(7)
    assert house.week.areas[0].name == names[1]


def test_one_after_the_other_nothing_is_a_forecast() -> None:
    assert not any(week.forecast for week in area_turns.rotation(AreaHouse(minutes=40).context, HOME).weeks)


def test_a_mark_in_the_week_leaves_it_and_a_later_one_for_the_week_before_can_change_it(
    house: AreaHouse,
) -> None:
    house.live(7)
    assert house.week.areas[0].name == "Bedroom"
    house.done("Dust 1", 8)
    assert house.week.areas[0].name == "Bedroom"
    for title in ("Sheets", "Dust 1", "Dust 2"):
        house.done(title, 7)
    assert house.week.areas[0].name == "Bath"


def test_a_change_of_the_lists_leaves_this_week_with_its_area(house: AreaHouse) -> None:
    area_tasks.add_task(house.context, HOME, "bath", "detail", {"title": "Ceiling", "minutes": 300})
    assert house.week.areas[0].name == "Kitchen"
    house.live(7)
    assert house.week.areas[0].name == "Bath"


def test_this_week_can_be_given_to_another_area_and_that_be_taken_back(house: AreaHouse) -> None:
    found = area_turns.give(house.context, HOME, "bath")
    assert (found.weeks[0].areas[0].name, found.undo) == ("Bath", "Gave this week to Bath")
    assert house.listed == ["Tiles 1", "Tiles 2"]


def test_a_week_is_left_free_but_not_swapped(house: AreaHouse) -> None:
    assert area_turns.skip(house.context, HOME, on(1)).weeks[0].kind == "skipped"
    assert house.week.areas == ()
    with pytest.raises(Malformed, match="Nobody has a turn this week"):
        area_turns.give(house.context, HOME, "bath")
    with pytest.raises(Malformed, match="not fixed yet"):
        area_turns.swap(house.context, HOME, on(8), on(15))
    with pytest.raises(Malformed, match="Give this week to another one instead"):
        area_turns.arrange(house.context, HOME, {"first": "bath"})


def test_only_by_need_is_a_week_given_away() -> None:
    with pytest.raises(Malformed, match="Swap two weeks instead"):
        area_turns.give(AreaHouse(minutes=40).context, HOME, "bath")


def test_the_minutes_fall_on_their_days_in_weeks_to_come_too(house: AreaHouse) -> None:
    assert house.minutes(on(1)) == {on(4): 40}
    assert house.minutes(on(29)) == {on(32): 40}
    area_turns.skip(house.context, HOME, on(29))
    assert house.minutes(on(29)) == {}


def test_kept_passes_change_nothing(house: AreaHouse) -> None:
    for day in (1, 12, 30):
        house.at(day)
        for title in house.listed:
            house.done(title, day)
    house.at(50)
    again = house.folded_from_nothing()
    assert area_week.this_week(again, HOME) == house.week
    assert area_turns.rotation(again, HOME) == area_turns.rotation(house.context, HOME)


def test_a_household_of_an_earlier_version_keeps_its_minutes_its_turn_and_its_list() -> None:
    house = AreaHouse(minutes=60)
    before = house.week
    with house.store.writing(HOME) as writing:
        held = [row for row in writing.home.plan if row.what == "areas"][-1]
        value = json.loads(held.value)
        for later in ("sorting", "given"):
            del value["plan"][later]
        writing.put_plan([replace(held, value=json.dumps(value))], house.now)
    assert house.week == before
    assert (house.areas.minutes_a_week, house.listed) == (60, ["Oven", "Shelf 1"])
