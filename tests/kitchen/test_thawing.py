"""When food has to leave the freezer, asked at the edges of the clock, in zones, and across changes of it.

The times themselves are held against the USDA's figures in tests/external/test_thawing.py.
"""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

import pytest

from coach.errors import NotEditable, Unknown
from coach.ground.situation import situation
from coach.household import settings
from coach.kitchen import dinners as dinner
from coach.kitchen import planning
from coach.kitchen.rules.dinner import thaw
from coach.kitchen.thawing import FROM_FROZEN
from habits.house import HOME, House
from kitchen.cooking import a_dinner, frozen, plan, planned_dinners
from progress.living import on

if TYPE_CHECKING:
    from coach.kitchen.answers import FrozenView, Moves

CHICKEN = ("chicken", "4 lb", "poultry")  # a day in the refrigerator, two hours in cold water
TURKEY = ("turkey", "14 lb", "poultry")  # four days, or seven hours


@pytest.fixture
def house() -> House:
    """Dinner on day 10, a Wednesday, at 18:00, after an hour of cooking."""
    house = House().begun()
    plan(house, 10, a_dinner("Soup", CHICKEN))
    return house


def the(house: House) -> FrozenView:
    """The chicken."""
    [item] = frozen(house, 10)
    return item


def moving(house: House) -> Moves:
    """What has to move now."""
    with house.store.reading(HOME) as reading:
        return planning.moves(situation(house.context, reading))


@pytest.mark.parametrize(
    ("day", "hour", "stage"),
    [
        (6, "23:59", "early"),
        (7, "00:00", "refrigerator"),
        (9, "23:59", "refrigerator"),
        (10, "00:00", "cold-water"),
        (10, "15:00", "cold-water"),
        (10, "15:01", "too-late"),
        (10, "18:00", "too-late"),
        (10, "18:01", "over"),
        (11, "12:00", "over"),
    ],
)
def test_the_stage_changes_on_the_minute(house: House, day: int, hour: str, stage: str) -> None:
    assert the(house.at(day, hour)).stage == stage


def test_the_times_are_those_of_the_rules(house: House) -> None:
    item = the(house)
    assert (item.not_before, item.refrigerator_by) == (on(7), on(9))
    assert item.cold_water_by == datetime.combine(on(10), datetime.min.time()) + timedelta(hours=15)
    assert (item.refrigerator_days, item.cold_water_minutes) == (1, 120)


@pytest.mark.parametrize(
    ("day", "hour", "said"),
    [
        (5, "12:00", "from on Sunday 10 January"),
        (
            8,
            "12:00",
            "at the latest tomorrow; or into cold water, at the latest on Wednesday 13 January at 15:00",
        ),
        (9, "12:00", "at the latest today; or into cold water, at the latest tomorrow at 15:00"),
        (10, "12:00", "too late for the refrigerator. Into cold water, at the latest today at 15:00"),
        (10, "16:00", "too late for both: the refrigerator (yesterday) and cold water (today at 15:00)"),
    ],
)
def test_it_is_said_in_words(house: House, day: int, hour: str, said: str) -> None:
    assert said.removeprefix("from ") in the(house.at(day, hour)).text


def test_when_it_is_too_late_for_both_what_is_left_is_worked_out_and_the_rest_left_to_the_authority(
    house: House,
) -> None:
    assert the(house.at(10, "15:01")).instead == (
        # Two hours in cold water and an hour of cooking, to the next full quarter.
        "Eat later: in cold water from now on, it can be dinner at 18:15.",
        "Change the day: moved to the refrigerator today, it can be dinner tomorrow or after.",
        "Change the dish: have something else, and leave this in the freezer.",
        FROM_FROZEN,
    )


def test_eating_later_is_no_way_when_it_would_be_tomorrow() -> None:
    house = House().begun()
    plan(house, 3, a_dinner("Roast", TURKEY, at="20:00", cooking="180"))
    [item] = frozen(house.at(3, "14:01"), 3)
    assert item.stage == "too-late"
    assert item.instead[0] == (
        "Change the day: moved to the refrigerator today, it can be dinner on Sunday 10 January or after."
    )
    [item] = frozen(house.at(3, "10:01"), 3)
    assert item.instead[0] == "Eat later: in cold water from now on, it can be dinner at 20:15."


@pytest.mark.parametrize("hour", ["12:00", "15:01"])
def test_nothing_is_ever_said_for_cooking_from_frozen(house: House, hour: str) -> None:
    item = the(house.at(10, hour))
    said = [line for line in (item.text, *item.instead) if "frozen" in line]
    assert said in ([], [FROM_FROZEN])
    assert "authority" in FROM_FROZEN


@pytest.mark.parametrize(
    ("zone", "utc", "stage"),
    [
        ("Pacific/Auckland", "02:00", "cold-water"),  # 15:00 there, to the minute
        ("Pacific/Auckland", "02:01", "too-late"),
        ("America/Los_Angeles", "23:00", "cold-water"),  # 15:00 there
        ("America/Los_Angeles", "23:01", "too-late"),
        ("Asia/Kathmandu", "09:15", "cold-water"),  # 15:00 there, at five hours and three quarters
        ("Asia/Kathmandu", "09:16", "too-late"),
    ],
)
def test_the_clock_is_that_of_the_households_zone(house: House, zone: str, utc: str, stage: str) -> None:
    settings.change(house.context, HOME, zone=zone)
    assert the(house.at(10, utc)).stage == stage


def test_cold_water_over_a_change_of_the_clocks_keeps_its_real_hours() -> None:
    """New York, 14 March 2027: the clock goes from 02:00 to 03:00."""
    house = House().begun()
    settings.change(house.context, HOME, zone="America/New_York", day_starts="00:00")
    plan(house, 70, a_dinner("Early bird", TURKEY, at="10:00"))
    [item] = frozen(house, 70)
    assert on(70) == date(2027, 3, 14)
    # Seven hours and one of cooking before 10:00 are 01:00 by the clock, not 02:00, which there is not.
    assert item.cold_water_by == datetime.fromisoformat("2027-03-14T01:00")


def test_a_dinner_before_the_day_begins_is_of_the_next_date() -> None:
    house = House().begun()
    plan(house, 10, a_dinner("After the late shift", CHICKEN, at="01:00"))
    [item] = frozen(house, 10)
    assert item.cold_water_by == datetime.combine(on(10), datetime.min.time()) + timedelta(hours=22)
    assert item.refrigerator_by == on(10)


def test_what_is_to_move_today_and_tomorrow_is_what_the_core_says(house: House) -> None:
    plan(house, 11, a_dinner("Roast", CHICKEN, ("sausages", "1 kg", "ground")))
    plan(house, 13, a_dinner("Bird", TURKEY))
    for day in range(5, 12):
        house.at(day)
        found = moving(house)
        latest = [
            (thaw(item.weight, item.kind, at, planned.dish.cooking, "UTC").refrigerator_by, at, item.name)
            for eaten, planned in planned_dinners(house)
            for at in [datetime.combine(eaten, planned.time)]
            for item in planned.dish.frozen
        ]
        for moves, when in ((found.today, day), (found.tomorrow, day + 1)):
            expected = [(at.date(), name) for date, at, name in latest if date == on(when)]
            assert [(move.date, move.item.name) for move in moves] == expected


def test_what_it_is_too_late_for_is_named_until_the_dinner(house: House) -> None:
    assert [move.item.stage for move in moving(house.at(10, "12:00")).behind] == ["cold-water"]
    assert [move.item.stage for move in moving(house.at(10, "17:00")).behind] == ["too-late"]
    assert moving(house.at(10, "18:01")).behind == ()


def test_what_has_left_the_freezer_is_never_too_late(house: House) -> None:
    dinner.leave(house.at(9).context, HOME, on(10), 1, left=True)
    assert [move.item.left_on for move in moving(house).today] == [on(9)]
    item = the(house.at(10, "17:00"))
    assert (item.stage, item.text) == ("left", "It left the freezer yesterday.")
    assert moving(house).behind == ()


def test_leaving_can_be_taken_back(house: House) -> None:
    dinner.leave(house.at(9).context, HOME, on(10), 1, left=True)
    dinner.leave(house.context, HOME, on(10), 1, left=False)
    assert the(house).stage == "refrigerator"


def test_it_cannot_leave_so_early_that_it_would_not_keep(house: House) -> None:
    with pytest.raises(NotEditable, match="It would not keep until then"):
        dinner.leave(house.at(6).context, HOME, on(10), 1, left=True)
    assert the(house).left_on is None


@pytest.mark.parametrize(("day", "number"), [(10, 2), (10, 0), (11, 1)])
def test_an_item_that_is_not_there_is_unknown(house: House, day: int, number: int) -> None:
    with pytest.raises(Unknown, match="no frozen item"):
        dinner.leave(house.at(9).context, HOME, on(day), number, left=True)


def test_what_has_left_stays_so_when_the_rest_of_the_dinner_changes(house: House) -> None:
    dinner.leave(house.at(9).context, HOME, on(10), 1, left=True)
    plan(house, 10, a_dinner("Broth", ("peas", "1 lb", "other"), CHICKEN, at="19:00"))
    assert [(item.name, item.left_on) for item in frozen(house, 10)] == [("peas", None), ("chicken", on(9))]
    plan(house, 10, a_dinner("Broth", ("chicken", "5 lb", "poultry")))
    assert the(house).left_on is None
