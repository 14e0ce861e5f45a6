"""The shopping list: merged, ticked at home and in the shop, and never hiding what is wanted."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from coach.errors import Malformed
from coach.kitchen import shopping
from habits.house import HOME, House
from kitchen.cooking import a_dinner, plan, written
from progress.living import on

if TYPE_CHECKING:
    from coach.kitchen.answers import Shopping, ShoppingItem

RICE = "rice"


@pytest.fixture
def house() -> House:
    """Rice on days 2 and 4."""
    house = House().begun()
    plan(house, 2, a_dinner("Soup", ingredients="400 g rice\nsalt"))
    plan(house, 4, a_dinner("Curry", ingredients="200 g Rice\n1 onion"))
    return house


def seen(house: House, days: int = 7) -> Shopping:
    return shopping.shopping(house.context, HOME, days)


def texts(items: tuple[ShoppingItem, ...]) -> list[str]:
    return [item.text for item in items]


def test_the_same_lines_of_the_coming_days_are_merged(house: House) -> None:
    found = seen(house)
    assert texts(found.to_buy) == ["600 g rice", "salt", "1 onion"]
    assert (found.to_buy[0].dinners, found.to_buy[0].dates) == (("Soup", "Curry"), (on(2), on(4)))
    assert (found.first, found.last, found.planned) == (on(1), on(7), 2)


@pytest.mark.parametrize(
    ("days", "wanted"), [(1, []), (2, ["400 g rice", "salt"]), (4, ["600 g rice", "salt", "1 onion"])]
)
def test_the_days_can_be_chosen(house: House, days: int, wanted: list[str]) -> None:
    assert texts(seen(house, days).to_buy) == wanted


def test_todays_dinner_is_shopped_for_and_yesterdays_no_more(house: House) -> None:
    assert texts(seen(house.at(2)).to_buy)[0] == "600 g rice"
    assert texts(seen(house.at(3)).to_buy)[0] == "200 g Rice"


def test_a_dinner_after_midnight_is_shopped_for_on_its_household_day(house: House) -> None:
    plan(house, 7, a_dinner("Toast", ingredients="bread", at="01:00"))
    assert "bread" in texts(seen(house).to_buy)


@pytest.mark.parametrize("days", [0, -1, 32])
def test_too_few_or_too_many_days_are_refused(house: House, days: int) -> None:
    with pytest.raises(Malformed, match="1 to 31 days"):
        seen(house, days)
    with pytest.raises(Malformed, match="1 to 31 days"):
        shopping.tick(house.context, HOME, RICE, "at-home", days)


def test_what_is_at_home_is_not_bought_and_not_shared(house: House) -> None:
    found = shopping.tick(house.context, HOME, RICE, "at-home")
    assert texts(found.to_buy) == ["salt", "1 onion"]
    assert (texts(found.at_home), found.at_home[0].tick) == (["600 g rice"], "at-home")
    assert found.text == "- salt\n- 1 onion\n"


def test_what_is_in_the_basket_stays_and_says_so(house: House) -> None:
    found = shopping.tick(house.context, HOME, "salt", "in-basket")
    assert (texts(found.in_basket), found.in_basket[0].tick) == (["salt"], "in-basket")
    assert "salt" not in found.text


def test_a_tick_can_be_taken_back(house: House) -> None:
    shopping.tick(house.context, HOME, RICE, "in-basket")
    found = shopping.tick(house.context, HOME, RICE, None)
    assert (texts(found.to_buy)[0], found.in_basket) == ("600 g rice", ())


def test_the_same_tick_again_writes_nothing(house: House) -> None:
    for _ in range(2):
        shopping.tick(house.context, HOME, RICE, "at-home")
        shopping.tick(house.context, HOME, "moon", "at-home")
        shopping.tick(house.context, HOME, "salt", None)
    assert [row.key for row in written(house, "at-home")] == [RICE]


def test_a_dinner_planned_later_brings_back_what_it_needs(house: House) -> None:
    shopping.tick(house.context, HOME, RICE, "at-home")
    plan(house, 3, a_dinner("Pudding", ingredients="100 g rice"))
    found = seen(house)
    assert texts(found.to_buy) == ["salt", "100 g rice", "1 onion"]
    assert texts(found.at_home) == ["600 g rice"]
    found = shopping.tick(house.context, HOME, RICE, "in-basket")
    assert (texts(found.in_basket), texts(found.at_home)) == (["100 g rice"], ["600 g rice"])


def test_a_dinner_that_changes_brings_back_what_it_needs(house: House) -> None:
    shopping.tick(house.context, HOME, RICE, "at-home")
    plan(house, 2, a_dinner("Soup for guests", ingredients="900 g rice"))
    found = seen(house)
    assert (texts(found.to_buy)[0], texts(found.at_home)) == ("900 g rice", ["200 g Rice"])


def test_a_tick_holds_as_days_go_by(house: House) -> None:
    shopping.tick(house.context, HOME, RICE, "at-home")
    assert texts(seen(house.at(3)).at_home) == ["200 g Rice"]
    assert seen(house.at(5)).at_home == ()


def test_a_tick_for_todays_dinner_holds_when_more_of_the_same_is_ticked(house: House) -> None:
    shopping.tick(house.at(2).context, HOME, RICE, "at-home")
    plan(house, 3, a_dinner("Pudding", ingredients="100 g rice"))
    found = shopping.tick(house.context, HOME, RICE, "in-basket")
    assert (texts(found.at_home), texts(found.in_basket)) == (["600 g rice"], ["100 g rice"])


def test_past_days_fall_out_of_a_tick(house: House) -> None:
    shopping.tick(house.context, HOME, RICE, "at-home")
    plan(house.at(3), 5, a_dinner("Pudding", ingredients="100 g rice"))
    shopping.tick(house.context, HOME, RICE, "at-home")
    assert str(on(2)) not in written(house, "at-home")[-1].value


def test_twice_the_same_thing_in_one_dish_is_one_line(house: House) -> None:
    plan(house, 5, a_dinner("Cake", ingredients="100 g butter\n50 g butter"))
    found = shopping.tick(house.context, HOME, "butter", "in-basket")
    assert texts(found.in_basket) == ["150 g butter"]


def test_without_dinners_there_is_nothing_to_buy() -> None:
    found = seen(House().begun())
    assert (found.planned, found.to_buy, found.text) == (0, (), "")
