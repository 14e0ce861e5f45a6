"""Dinners on dates: as they were typed, refused where they cannot be, and by whose clock they thaw."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from coach.errors import NotEditable, NotStarted
from coach.ground.faults import Unfit
from coach.ground.situation import situation
from coach.kitchen import dinners as dinner
from coach.kitchen import planning
from coach.kitchen.thawing import Kitchen
from habits.house import HOME, House
from kitchen.cooking import a_dinner, dish_on, frozen, plan, written
from progress.living import on

if TYPE_CHECKING:
    from coach.kitchen.dinners import TypedDinner

CHICKEN = ("chicken", "1.4 kg", "poultry")
COD = ("cod", "3 lb", "fish")


@pytest.fixture
def house() -> House:
    return House().begun()


def test_a_dinner_is_as_it_was_typed(house: House) -> None:
    typed = a_dinner("Soup", CHICKEN, at="19:30", ingredients=" 400 g rice\n\n1 onion ", cooking="90")
    found = plan(house, 2, typed).dinner
    assert found is not None
    assert (found.dish, found.time, found.cooking) == ("Soup", "19:30", 90)
    assert found.ingredients == ("400 g rice", "1 onion")
    assert [(item.name, item.weight, item.kind) for item in found.frozen] == [CHICKEN]


@pytest.mark.parametrize("weight", ["14lb", "6.4 kg", "2 lb 3 oz", "1,5 kg"])
def test_a_weight_is_shown_as_it_was_typed(house: House, weight: str) -> None:
    plan(house, 9, a_dinner("Roast", ("joint", weight, "cut")))
    assert [item.weight for item in frozen(house, 9)] == [weight]


def test_the_same_dinner_again_writes_nothing(house: House) -> None:
    plan(house, 2, a_dinner("Soup", CHICKEN))
    plan(house, 2, a_dinner("Soup", CHICKEN))
    assert len(written(house, "dinner")) == 1


def test_a_date_without_a_dinner_has_none(house: House) -> None:
    assert dish_on(house, 2) is None


def test_a_dinner_can_be_taken_away_and_none_takes_nothing(house: House) -> None:
    plan(house, 2, a_dinner("Soup"))
    assert dinner.remove(house.context, HOME, on(2)).dinner is None
    dinner.remove(house.context, HOME, on(2))
    assert len(written(house, "dinner")) == 2


@pytest.mark.parametrize(
    ("day", "said"),
    [(4, "Thursday 7 January 2027 is over"), (373, "Tuesday 11 January 2028 is too far ahead")],
)
def test_dates_that_are_over_or_too_far_ahead_are_refused(house: House, day: int, said: str) -> None:
    house.at(5)
    with pytest.raises(NotEditable, match=said):
        plan(house, day, a_dinner("Soup"))
    with pytest.raises(NotEditable, match=said):
        dinner.remove(house.context, HOME, on(day))
    assert written(house, "dinner") == []


def test_today_and_a_year_ahead_can_be_planned(house: House) -> None:
    for day in (1, 367):
        assert plan(house, day, a_dinner("Soup")).editable


@pytest.mark.parametrize(
    ("typed", "field", "said"),
    [
        (a_dinner("Soup", ("chicken", "a lot", "poultry")), "frozen-1-weight", "“a lot” is not a weight"),
        (a_dinner("Soup", ("chicken", "", "poultry")), "frozen-1-weight", "Give it in kg or lb"),
        (a_dinner("Soup", ("chicken", "0 kg", "poultry")), "frozen-1-weight", "above 0"),
        (a_dinner("Soup", CHICKEN, ("", "2 lb", "cut")), "frozen-2-name", "Say what is frozen"),
        (a_dinner("Soup", ("chicken", "1 kg", "bird")), "frozen-1-kind", "one of poultry, fish"),
        (a_dinner("", CHICKEN), "dish", "Give the dish a name"),
        (a_dinner("S" * 121), "dish", "up to 120 characters"),
        (a_dinner("Soup", cooking="long"), "cooking", "from 0 to 1440"),
        (a_dinner("Soup", cooking="1441"), "cooking", "from 0 to 1440"),
        (a_dinner("Soup", cooking="0000009999"), "cooking", "from 0 to 1440"),
        (a_dinner("Soup", at="late"), "time", "“late” is not a time of day"),
        (a_dinner("Soup", ingredients="rice\n" * 41), "ingredients", "These are 41 ingredient lines"),
        (a_dinner("Soup", ingredients="rice\n" + "x" * 101), "ingredients", "Ingredient line 2"),
        (a_dinner("Soup", *[CHICKEN] * 7), "frozen", "at most 6 frozen items"),
    ],
)
def test_what_cannot_be_used_is_said_beside_its_field(
    house: House, typed: TypedDinner, field: str, said: str
) -> None:
    with pytest.raises(Unfit) as caught:
        plan(house, 2, typed)
    assert [fault.field for fault in caught.value.faults] == [field]
    assert said in str(caught.value)
    assert dish_on(house, 2) is None


def test_every_fault_is_said_at_once(house: House) -> None:
    with pytest.raises(Unfit) as caught:
        plan(house, 2, a_dinner("", ("", "a lot", "poultry"), at="late", cooking="x"))
    fields = {fault.field for fault in caught.value.faults}
    assert fields == {"dish", "frozen-1-name", "frozen-1-weight", "time", "cooking"}


def test_before_the_start_there_is_no_kitchen() -> None:
    for ask in (planning.week, lambda context, home: dinner.day(context, home, on(1))):
        with pytest.raises(NotStarted):
            ask(House().context, HOME)


def test_the_clock_that_thawing_goes_by_is_the_households(house: House) -> None:
    house.at(2, "01:30")  # still day 1 for the household, whose day begins at 03:00
    with house.store.reading(HOME) as reading:
        kitchen = dinner.kitchen_of(situation(house.context, reading))
    assert kitchen == Kitchen(house.now.replace(tzinfo=None), "UTC")
