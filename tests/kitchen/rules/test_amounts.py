from __future__ import annotations

from fractions import Fraction

import pytest

from coach.kitchen.rules.amounts import COUNT, UNITS, Amount, Ingredient, added, ingredient_of, number_text


def amount(text: str) -> Amount:
    found = ingredient_of(f"{text} rice")
    assert found is not None
    assert found.amount is not None
    return found.amount


def sums(*texts: str) -> list[str]:
    return [one.text for one in added(amount(text) for text in texts)]


@pytest.mark.parametrize(
    ("line", "number", "unit", "name"),
    [
        ("400 g rice", 400, "g", "rice"),
        ("1,5 KG of rice", Fraction(3, 2), "kg", "rice"),
        ("1 1/2 cups milk", Fraction(3, 2), "cup", "milk"),
        ("2 Tins of beans", 2, "tin", "beans"),
        ("2 loaves bread", 2, "loaf", "bread"),
        ("3 lbs apples", 3, "lb", "apples"),
        ("2 tablespoons oil", 2, "tbsp", "oil"),
        ("1 teaspoon salt", 1, "tsp", "salt"),
        ("2 boxes matches", 2, "box", "matches"),
        ("½ l milk", Fraction(1, 2), "l", "milk"),
        ("1½ cups milk", Fraction(3, 2), "cup", "milk"),
        ("1 ¼ kg flour", Fraction(5, 4), "kg", "flour"),
        ("500 grams flour", 500, "g", "flour"),
        ("2 litres milk", 2, "l", "milk"),
        ("1 liter milk", 1, "l", "milk"),
        ("2 pounds beef", 2, "lb", "beef"),
        ("8 ounces butter", 8, "oz", "butter"),
        ("1,250 kg meat", Fraction(5, 4), "kg", "meat"),
        ("0,125 g saffron", Fraction(1, 8), "g", "saffron"),
    ],
)
def test_a_line_is_read_as_an_amount_and_a_name(line: str, number: Fraction, unit: str, name: str) -> None:
    assert ingredient_of(line) == Ingredient(Amount(Fraction(number), UNITS[unit]), name)


def test_a_number_without_a_unit_is_a_count() -> None:
    assert ingredient_of("2 gloves") == Ingredient(Amount(Fraction(2), COUNT), "gloves")


@pytest.mark.parametrize("line", ["2-3 carrots", "coarse salt", "g rice", "5kg-bag rice", "½", "milk 1½ %"])
def test_what_is_no_amount_is_a_name_alone(line: str) -> None:
    assert ingredient_of(f" {line} ") == Ingredient(None, line)


@pytest.mark.parametrize("line", ["1,000 g rice", "1.500 ml milk", "1,000 nails", "12,500 grams sand"])
def test_what_may_be_thousands_stays_as_it_was_written(line: str) -> None:
    assert ingredient_of(line) == Ingredient(None, line)


def test_the_same_thing_has_one_key_whatever_its_amount() -> None:
    keys = {
        found.key for line in ("2 eggs", "3  Eggs", "1 box EGGS", "eggs") if (found := ingredient_of(line))
    }
    assert keys == {"eggs"}
    assert ingredient_of("  ") is None


@pytest.mark.parametrize(
    ("amounts", "said"),
    [
        (("1 kg", "500 g"), ["1.5 kg"]),
        (("500 g", "1 kg"), ["1.5 kg"]),
        (("400 g", "700 g"), ["1100 g"]),
        (("2 ", "1 "), ["3"]),
        (("1 l", "2 dl", "5 cl", "1 ml"), ["1.251 l"]),
        (("8 oz", "1 lb"), ["1.5 lb"]),
        (("1/3 l", "250 ml"), ["7/12 l"]),
        (("1 pint", "1 cup", "1 pint"), ["2 pints", "1 cup"]),
        (("1 tbsp", "1 tsp", "2 tablespoons"), ["3 tbsp", "1 tsp"]),
        (("1 tin", "1 can", "400 g"), ["1 tin", "1 can", "400 g"]),
        (("0.0001 kg", "1 g"), ["0.0011 kg"]),
        # Two systems: 453.59237 g and 200 g are 653.59237 g, and nobody is to buy too little.
        (("200 g", "1 lb"), ["654 g"]),
        (("1 kg", "1 lb"), ["1.454 kg"]),
        (("1 kg",), ["1 kg"]),
    ],
)
def test_units_of_one_kind_are_added_and_others_stand_by_themselves(
    amounts: tuple[str, ...], said: list[str]
) -> None:
    assert sums(*amounts) == said


@pytest.mark.parametrize(
    ("number", "text"),
    [
        ("3", "3"),
        ("1.5", "1.5"),
        ("1/3", "1/3"),
        ("4/3", "1 1/3"),
        ("0.0000001", "0.0000001"),
        ("1000000", "1000000"),
    ],
)
def test_a_number_is_written_as_on_a_list(number: str, text: str) -> None:
    assert number_text(Fraction(number)) == text
