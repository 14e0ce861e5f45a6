"""Favourites: dishes kept, changed, put on dates, and taken off."""

from __future__ import annotations

import pytest

from coach.errors import Malformed, NotEditable, Unknown
from coach.ground.faults import Unfit
from coach.kitchen import dinners as dinner
from coach.kitchen import favourites
from coach.kitchen.dishes import TypedDish
from habits.house import HOME, House
from kitchen.cooking import dish, dish_on
from progress.living import on

CHICKEN = ("chicken", "1.4 kg", "poultry")


@pytest.fixture
def house() -> House:
    return House().begun()


def test_favourites_stand_by_name(house: House) -> None:
    for name in ("Pie", "apple crumble", "Fish"):
        favourites.keep(house.context, HOME, dish(name))
    found = favourites.favourites(house.context, HOME).favourites
    assert [one.dish for one in found] == ["apple crumble", "Fish", "Pie"]


@pytest.mark.parametrize(
    ("names", "ids"),
    [
        (["Pie", "Pie!"], ["pie", "pie-2"]),
        (["Crème brûlée"], ["creme-brulee"]),
        (["鍋", "丼"], ["dish", "dish-2"]),
    ],
)
def test_ids_are_made_from_names(house: House, names: list[str], ids: list[str]) -> None:
    assert [favourites.keep(house.context, HOME, dish(name))[0].id for name in names] == ids


def test_a_favourite_can_be_changed_and_dinners_from_it_stay(house: House) -> None:
    kept, _ = favourites.keep(house.context, HOME, dish("Soup"))
    dinner.put_favourite(house.context, HOME, on(2), kept.id)
    changed, found = favourites.keep(house.context, HOME, dish("Broth"), kept.id)
    assert (changed.id, [one.dish for one in found.favourites]) == (kept.id, ["Broth"])
    assert dish_on(house, 2) == "Soup"


def test_a_favourite_can_be_taken_off(house: House) -> None:
    kept, _ = favourites.keep(house.context, HOME, dish("Soup"))
    assert favourites.drop(house.context, HOME, kept.id).favourites == ()
    for again in (
        lambda: favourites.drop(house.context, HOME, kept.id),
        lambda: favourites.keep(house.context, HOME, dish("Pie"), kept.id),
    ):
        with pytest.raises(Unknown, match="no favourite “soup”"):
            again()


def test_a_favourite_without_a_name_is_refused(house: House) -> None:
    with pytest.raises(Unfit, match="Give the dish a name"):
        favourites.keep(house.context, HOME, TypedDish("  "))


def test_there_is_an_end_to_favourites(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(favourites, "MOST", 2)
    for name in ("Soup", "Pie"):
        favourites.keep(house.context, HOME, dish(name))
    with pytest.raises(NotEditable, match="There are 2 favourites already"):
        favourites.keep(house.context, HOME, dish("Fish"))
    favourites.keep(house.context, HOME, dish("PIE"))


def test_a_favourite_can_be_put_on_any_date(house: House) -> None:
    kept, _ = favourites.keep(house.context, HOME, dish("Soup", CHICKEN, cooking="90"))
    for day in (2, 9):
        found = dinner.put_favourite(house.context, HOME, on(day), kept.id, "12:30").dinner
        assert found is not None
        assert (found.dish, found.time, found.cooking, len(found.frozen)) == ("Soup", "12:30", 90, 1)


def test_a_favourite_that_is_not_there_or_a_time_that_is_none_is_refused(house: House) -> None:
    with pytest.raises(Unknown, match="no favourite “moon”"):
        dinner.put_favourite(house.context, HOME, on(2), "moon")
    with pytest.raises(Malformed, match="not a time of day"):
        dinner.put_favourite(house.context, HOME, on(2), "moon", "noon")
