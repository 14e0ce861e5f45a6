"""The shopping list: the ingredient lines of coming dinners, the same ones merged (home rules)."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable
    from datetime import date

    from coach.kitchen.rules.dinner import Dinner

_UNITS = (
    "kg|g|lbs?|oz|l|dl|cl|ml|pints?|cups?|tbsp|tsp|tablespoons?|teaspoons?|tins?|cans?|jars?|packs?|packets?|"
    "bags?|bunch(?:es)?|heads?|cloves?|slices?|loaf|loaves|bottles?|boxes|box"
)
_AMOUNT = re.compile(
    r"(?P<number>(?:[0-9]{1,3} )?[0-9]{1,3}/[1-9][0-9]{0,2}|[0-9]{1,6}(?:[.,][0-9]{1,4})?)"
    rf"(?:\s*(?P<unit>{_UNITS})(?=\s)|(?=\s))\s*(?:of\s+)?(?P<name>\S.*)",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Ingredient:
    """An ingredient line read as far as it can be merged with others.

    Attributes:
        amount: The number it begins with, or None; 0.5, 0,5 and 1/2 are the same.
        unit: The unit after the number, as typed, or empty.
        name: The rest, as typed.
    """

    amount: Fraction | None
    unit: str
    name: str

    @property
    def key(self) -> str:
        """What lines that are the same have in common: unit and name, and whether there is a number."""
        unit = "" if self.amount is None else f"{self.unit.casefold()}|"
        return f"{unit}{' '.join(self.name.casefold().split())}"


@dataclass(frozen=True, slots=True)
class ShoppingLine:
    """One line of the list.

    Attributes:
        key: What a tick for it names.
        text: Amounts that could be added up, unit and name.
        dinners: The dinners it is for, by date.
        ticked: Whether it is in the basket.
    """

    key: str
    text: str
    dinners: tuple[Dinner, ...]
    ticked: bool = False


def ingredient_of(line: str) -> Ingredient | None:
    """Read an ingredient line such as “400 g rice”; None for an empty one."""
    text = " ".join(line.split())
    match = _AMOUNT.fullmatch(text)
    if match is None:
        return Ingredient(None, "", text) if text else None
    amount = sum(Fraction(part.replace(",", ".")) for part in match["number"].split())
    return Ingredient(Fraction(amount), match["unit"] or "", match["name"])


def shopping_list(
    dinners: Iterable[Dinner],
    first: date,
    last: date,
    at_home: Collection[str] = (),
    ticked: Collection[str] = (),
) -> tuple[ShoppingLine, ...]:
    """What the dinners of some days need, in the order in which it is needed first.

    Lines are the same when they have the same words, whatever their letters' case and spaces; amounts in the
    same unit are added up. Nothing is converted, so “1 kg rice” and “400 g rice” stay two lines.

    Args:
        dinners: Any; those on other dates are left aside.
        first: The first date to shop for.
        last: The last date to shop for.
        at_home: Keys of the lines ticked as at home: they are left out.
        ticked: Keys of the lines ticked in the shop: they stay, and say so.
    """
    needed: dict[str, list[tuple[Ingredient, Dinner]]] = {}
    for dinner in sorted(dinners, key=lambda dinner: dinner.at):
        if first <= dinner.at.date() <= last:
            for line in dinner.dish.ingredients:
                ingredient = ingredient_of(line)
                if ingredient is not None and ingredient.key not in at_home:
                    needed.setdefault(ingredient.key, []).append((ingredient, dinner))
    return tuple(_merged(key, uses, key in ticked) for key, uses in needed.items())


def _merged(key: str, uses: list[tuple[Ingredient, Dinner]], ticked: bool) -> ShoppingLine:  # noqa: FBT001
    dinners = dict.fromkeys(dinner for _, dinner in uses)
    return ShoppingLine(key, _text([ingredient for ingredient, _ in uses]), tuple(dinners), ticked)


def _text(same: list[Ingredient]) -> str:
    amounts = [one.amount for one in same if one.amount is not None]
    if not amounts:
        return same[0].name
    return " ".join(part for part in (_written(sum(amounts, Fraction())), same[0].unit, same[0].name) if part)


def _written(amount: Fraction) -> str:
    """A number as it stands on a list: whole, with decimals where they end, or with a fraction."""
    decimal = f"{float(amount):.4f}".rstrip("0").rstrip(".")
    if Fraction(decimal) == amount:
        return decimal
    whole, rest = divmod(amount, 1)
    return f"{whole} {rest}" if whole else str(rest)


def as_text(lines: Iterable[ShoppingLine]) -> str:
    """The list to be shared: one line each of what is not in the basket yet."""
    return "".join(f"- {line.text}\n" for line in lines if not line.ticked)
