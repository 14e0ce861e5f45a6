"""The turns of the areas: whose week it is, arranged, skipped, swapped, and for decluttering."""

from __future__ import annotations

from datetime import timedelta

import pytest

from areas.house import AreaHouse
from coach.areas import turns as area_turns
from coach.errors import Malformed, Unknown
from coach.habits import pauses
from habits.house import HOME
from progress.living import on


@pytest.fixture
def house() -> AreaHouse:
    return AreaHouse(minutes=60)


def test_a_week_away_does_not_count_and_the_area_keeps_its_turn(house: AreaHouse) -> None:
    pauses.pause(house.context, HOME, on(8), on(14))
    assert house.turns[:4] == ["Kitchen", "Bath", "Bath", "Bedroom"]
    week = area_turns.rotation(house.context, HOME).weeks[1]
    assert week.kind == "away"
    assert week.text == (
        "You are away all week, so the week does not count. Bath keeps its turn for the next one."
    )
    assert house.minutes(on(8)) == {}


def test_a_turn_skipped_leaves_its_week_free(house: AreaHouse) -> None:
    area_turns.skip(house.context, HOME, on(10))
    assert house.turns[:4] == ["Kitchen", "skipped", "Bedroom", "Kitchen"]
    with pytest.raises(Malformed, match="Nobody has a turn in the week of 11 January"):
        area_turns.skip(house.context, HOME, on(10))


def test_this_weeks_turn_skipped_leaves_nothing_listed(house: AreaHouse) -> None:
    area_turns.skip(house.context, HOME, on(1))
    assert (house.week.areas, house.week.kind, house.week.minutes) == ((), "skipped", {})
    assert house.week.text == "This week is left free."


def test_two_weeks_swap_their_turns(house: AreaHouse) -> None:
    area_turns.swap(house.context, HOME, on(1), on(15))
    assert house.turns[:4] == ["Bedroom", "Bath", "Kitchen", "Kitchen"]
    assert house.week.areas[0].name == "Bedroom"
    assert "Moved here" in house.week.text
    with pytest.raises(Malformed, match="Two different turns"):
        area_turns.swap(house.context, HOME, on(1), on(3))
    with pytest.raises(Unknown, match="lies in no week"):
        area_turns.swap(house.context, HOME, on(1), on(1) - timedelta(days=1))


def test_declutter_weeks_bring_the_other_lists_for_one_round_or_as_long_as_said(house: AreaHouse) -> None:
    area_turns.declutter(house.context, HOME)
    assert house.listed == ["Mugs 1", "Mugs 2"]
    assert house.areas.declutter_weeks == 3
    weeks = area_turns.rotation(house.context, HOME).weeks
    assert [week.declutter for week in weeks[:4]] == [True] * 3 + [False]
    area_turns.declutter(house.context, HOME, 0)
    assert house.listed == ["Oven", "Shelf 1"]
    with pytest.raises(Malformed, match="from 1 to 520, not 521"):
        area_turns.declutter(house.context, HOME, 521)


def test_by_month_the_last_week_is_shared_or_one_is_left_for_catching_up() -> None:
    house = AreaHouse(["Kitchen", "Bath", "Toilet", "Bedroom", "Bedroom 2", "Shower"], 5)
    assert len(house.areas.areas) == 5
    area_turns.arrange(house.context, HOME, {"mode": "month", "minutes_a_week": 45})
    shared = area_turns.rotation(house.context, HOME).weeks[3]
    assert (shared.kind, [share.minutes for share in shared.areas]) == ("shared", [23, 22])
    assert shared.text == "January has 4 weeks for 5 areas, so its last week is shared by 2 of them."
    few = AreaHouse(minutes=60)
    area_turns.arrange(few.context, HOME, {"mode": "month"})
    left_over = area_turns.rotation(few.context, HOME).weeks[3]
    assert (left_over.kind, left_over.areas) == ("catch-up", ())
    assert left_over.text.startswith("January has 4 weeks for 3 areas, so one week is left over.")
    few.live(21)
    assert (few.week.kind, few.week.areas[0].name) == ("catch-up", "Kitchen")


def test_the_rotation_begins_anew_with_a_chosen_area_unless_the_month_decides(house: AreaHouse) -> None:
    area_turns.arrange(house.context, HOME, {"first": "bedroom"})
    assert house.turns[:3] == ["Bedroom", "Kitchen", "Bath"]
    with pytest.raises(Malformed, match="in their order"):
        area_turns.arrange(house.context, HOME, {"first": "bath", "mode": "month"})
    assert house.areas.mode == "continuous"


def test_weeks_that_begin_on_another_day_are_taken_up_where_the_rotation_stands(house: AreaHouse) -> None:
    house.live(9)
    with house.store.writing(HOME) as writing:
        home = writing.household()
        assert home is not None
        writing.settings(home.zone, home.day_starts, "sunday")
    found = area_turns.arrange(house.context, HOME, {})
    assert found.undo == "Arranged the turns: weeks begin on another day"
    assert (house.week.week, house.week.areas[0].name) == (on(7), "Bath")
    assert house.turns[:3] == ["Bath", "Bedroom", "Kitchen"]


@pytest.mark.parametrize("wanted", [{"minutes_a_week": 0}, {"minutes_a_week": 1441}, {"spot_minutes": 0}])
def test_minutes_that_no_week_has_are_refused_with_nothing_half_written(
    house: AreaHouse, wanted: area_turns.Arrangement
) -> None:
    before = house.areas
    with pytest.raises(Malformed, match="1 to 1440"):
        area_turns.arrange(house.context, HOME, {**wanted, "area_days": ["MO"]})
    assert house.areas == before
