"""Amounts of what is bought: read from a line, and added where their units are of one kind (home rules).

Metric units of mass and of volume are powers of ten of one another. The pound is the international one,
0.45359237 kg exactly (the agreement of 1959 on the international yard and pound), the ounce its sixteenth.
Cups, pints and spoons differ from country to country, so they are added to their like alone. All of it is
reckoned in fractions.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from typing import TYPE_CHECKING

from coach.kitchen.rules.dinner import KILOGRAMS_IN_A_POUND

if TYPE_CHECKING:
    from collections.abc import Iterable

GRAMS_IN_A_POUND = KILOGRAMS_IN_A_POUND * 1000
OUNCES_IN_A_POUND = 16


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit of an amount.

    Attributes:
        kind: What amounts have in common that are added.
        size: How many of the kind's smallest metric unit it is, or 1.
        one: How it is written after a one.
        many: How it is written after any other number.
        metric: Whether sums beside units of other systems are said in it.
    """

    kind: str
    size: Fraction
    one: str
    many: str
    metric: bool = False


def _metric(kind: str, **sizes: int) -> list[Unit]:
    return [Unit(kind, Fraction(size), name, name, metric=True) for name, size in sizes.items()]


def _itself(one: str, many: str | None = None) -> Unit:
    return Unit(one, Fraction(1), one, many or f"{one}s")


COUNT = Unit("", Fraction(1), "", "")
"""What is counted by itself: 2 onions."""

_POUND = Unit("mass", GRAMS_IN_A_POUND, "lb", "lb")
_OUNCE = Unit("mass", GRAMS_IN_A_POUND / OUNCES_IN_A_POUND, "oz", "oz")
_SPOONS = {"tbsp": "tablespoon", "tsp": "teaspoon"}
_ITSELF = (
    *(
        _itself(name)
        for name in ("pint", "cup", "tin", "can", "jar", "pack", "packet", "bag", "head", "clove")
    ),
    *(_itself(name) for name in ("slice", "bottle")),
    *(_itself(name, f"{name}es") for name in ("bunch", "box")),
    _itself("loaf", "loaves"),
)
_METRIC = {
    unit.one: unit
    for unit in (*_metric("mass", g=1, kg=1000), *_metric("volume", ml=1, cl=10, dl=100, l=1000))
}
_WRITTEN_OUT = {"gram": "g", "kilogram": "kg", "litre": "l", "liter": "l"}
UNITS: dict[str, Unit] = {
    **_METRIC,
    **{name: _METRIC[short] for word, short in _WRITTEN_OUT.items() for name in (word, f"{word}s")},
    **dict.fromkeys(("lb", "lbs", "pound", "pounds"), _POUND),
    **dict.fromkeys(("oz", "ounce", "ounces"), _OUNCE),
    **{
        name: Unit(short, Fraction(1), short, short)
        for short, whole in _SPOONS.items()
        for name in (short, whole, f"{whole}s")
    },
    **{name: unit for unit in _ITSELF for name in (unit.one, unit.many)},
}
"""Every unit by the ways to write it."""

_NAMES = "|".join(sorted(UNITS, key=len, reverse=True))
_AMOUNT = re.compile(
    r"(?P<number>(?:[0-9]{1,3} )?[0-9]{1,3}/[1-9][0-9]{0,2}|[0-9]{1,6}(?:[.,][0-9]{1,4})?)"
    rf"(?:\s*(?P<unit>{_NAMES})(?=\s)|(?=\s))\s*(?:of\s+)?(?P<name>\S.*)",
    re.IGNORECASE,
)
_SMALL_FRACTION = re.compile("([0-9]{0,3}) ?([¼-¾⅐-⅞])")
_MAY_BE_THOUSANDS = re.compile("[1-9][0-9]{0,2}[.,][0-9]{3}")
_NEVER_IN_THOUSANDTHS = {"", "g", "ml"}


@dataclass(frozen=True, slots=True)
class Amount:
    """So many of a unit."""

    number: Fraction
    unit: Unit = COUNT

    @property
    def text(self) -> str:
        """As it stands on a list."""
        word = self.unit.one if self.number == 1 else self.unit.many
        return f"{number_text(self.number)} {word}".rstrip()


@dataclass(frozen=True, slots=True)
class Ingredient:
    """A line read as far as it can be merged with others.

    Attributes:
        amount: The amount it begins with, or None; 0.5, 0,5 and 1/2 are the same.
        name: The rest, as typed.
    """

    amount: Amount | None
    name: str

    @property
    def key(self) -> str:
        """What lines of the same thing have in common: its words, whatever their letters' case and spaces."""
        return " ".join(self.name.casefold().split())


def ingredient_of(line: str) -> Ingredient | None:
    """Read a line such as “400 g rice”; None for an empty one.

    Nobody weighs in thousandths of a gram: 1,000 g may be a kilogram, and stays as it was written.
    """
    text = " ".join(line.split())
    match = _AMOUNT.fullmatch(_in_figures(text))
    if match is None:
        return Ingredient(None, text) if text else None
    unit = UNITS[match["unit"].lower()] if match["unit"] else COUNT
    if unit.one in _NEVER_IN_THOUSANDTHS and _MAY_BE_THOUSANDS.fullmatch(match["number"]):
        return Ingredient(None, text)
    number = sum((Fraction(part.replace(",", ".")) for part in match["number"].split()), Fraction())
    return Ingredient(Amount(number, unit), match["name"])


def _in_figures(text: str) -> str:
    """The line with the one character of a fraction at its beginning written out: 1 1/2 for 1½."""
    match = _SMALL_FRACTION.match(text)
    if match is None:
        return text
    figures = unicodedata.normalize("NFKC", match[2]).replace("\u2044", "/")
    return f"{match[1]} {figures}{text[match.end() :]}".strip()


def added(amounts: Iterable[Amount]) -> tuple[Amount, ...]:
    """Amounts added up where their units are of one kind; the kinds stand in the order in which they come.

    A sum is in the largest unit that was written, and exact. Where units of two systems meet it is in the
    largest metric one, rounded up to the next gram, so that nobody buys too little.
    """
    kinds: dict[str, list[Amount]] = {}
    for amount in amounts:
        kinds.setdefault(amount.unit.kind, []).append(amount)
    return tuple(_sum(of_one_kind) for of_one_kind in kinds.values())


def _sum(amounts: list[Amount]) -> Amount:
    units = {amount.unit for amount in amounts}
    metric = [unit for unit in units if unit.metric]
    unit = max(metric or units, key=lambda unit: unit.size)
    total = sum((amount.number * amount.unit.size for amount in amounts), Fraction())
    are_of_two_systems = 0 < len(metric) < len(units)
    return Amount((ceil(total) if are_of_two_systems else total) / unit.size, unit)


def number_text(number: Fraction) -> str:
    """A number as it stands on a list: whole, with decimals where they end, or with a fraction."""
    decimal = f"{float(number):.7f}".rstrip("0").rstrip(".")
    if Fraction(decimal) == number:
        return decimal
    whole, rest = divmod(number, 1)
    return f"{whole} {rest}" if whole else str(rest)
