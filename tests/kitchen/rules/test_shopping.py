from __future__ import annotations

from datetime import datetime

import pytest

from areas.rules.homes import day
from coach.kitchen.rules.dinner import Dinner, Dish
from coach.kitchen.rules.shopping import Ingredient, as_text, ingredient_of, shopping_list

FIRST, LAST = day("2027-01-04"), day("2027-01-10")


def dinner(on: str, *lines: str) -> Dinner:
    return Dinner(datetime.fromisoformat(f"{on}T18:00"), Dish(f"Dish of {on}", lines))


def texts(*dinners: Dinner, at_home: tuple[str, ...] = ()) -> list[str]:
    return [line.text for line in shopping_list(dinners, FIRST, LAST, at_home)]


def test_the_same_lines_are_merged_and_their_amounts_added_up() -> None:
    monday = dinner("2027-01-04", "400 g rice", "2 onions", "salt")
    sunday = dinner("2027-01-10", "200 G  Rice", "1 onions", "Salt", "oil")
    assert texts(sunday, monday) == ["600 g rice", "3 onions", "salt", "oil"]


@pytest.mark.parametrize(
    ("one", "other", "merged"),
    [
        ("1/2 cup milk", "1/3 cup milk", ["5/6 cup milk"]),
        ("1 1/2 cup milk", "1 1/2 cup milk", ["3 cup milk"]),
        ("2-3 carrots", "2-3 carrots", ["2-3 carrots"]),
        ("0,5 l milk", "0.75 l milk", ["1.25 l milk"]),
        ("1 kg rice", "400 g rice", ["1 kg rice", "400 g rice"]),
        ("2 lemons", "lemons", ["2 lemons", "lemons"]),
        ("2 tins of beans", "1 tins beans", ["3 tins beans"]),
        ("2/3 cup milk", "2/3 cup milk", ["1 1/3 cup milk"]),
    ],
)
def test_only_what_is_sure_to_be_the_same_is_merged(one: str, other: str, merged: list[str]) -> None:
    assert texts(dinner("2027-01-04", one), dinner("2027-01-05", other)) == merged


def test_a_line_is_for_every_dinner_that_needs_it() -> None:
    dinners = [dinner("2027-01-04", "salt", "salt"), dinner("2027-01-05", "salt")]
    (line,) = shopping_list(dinners, FIRST, LAST)
    assert line.dinners == tuple(dinners)


def test_dinners_of_other_days_are_left_aside() -> None:
    assert texts(dinner("2027-01-03", "salt"), dinner("2027-01-11", "oil"), dinner("2027-01-10", "tea")) == [
        "tea"
    ]


def test_what_is_at_home_is_left_out_and_what_is_in_the_basket_says_so() -> None:
    dinners = [dinner("2027-01-04", "salt", "2 eggs", "oil", "  ")]
    lines = shopping_list(dinners, FIRST, LAST)
    keys = {line.text: line.key for line in lines}
    assert texts(*dinners, at_home=(keys["2 eggs"],)) == ["salt", "oil"]
    ticked = shopping_list(dinners, FIRST, LAST, (), {keys["salt"]})
    assert [line.ticked for line in ticked] == [True, False, False]
    assert as_text(ticked) == "- 2 eggs\n- oil\n"


def test_a_line_without_a_number_is_a_name_alone() -> None:
    assert ingredient_of(" coarse  salt ") == Ingredient(None, "", "coarse salt")


def test_a_tick_outlives_another_amount_of_the_same() -> None:
    one, other = ingredient_of("2 eggs"), ingredient_of("3 Eggs")
    assert one is not None
    assert other is not None
    assert one.key == other.key
