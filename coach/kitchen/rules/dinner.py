"""Dinner: dishes on dates, and when what is frozen has to leave the freezer (home rules).

Times follow the USDA's advice on thawing: a day in the refrigerator for every 4 to 5 lb, counted here as 4,
30 minutes a pound in cold water that is changed every 30 minutes, then cooked at once; and how long food
keeps in the refrigerator after thawing there.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from enum import StrEnum
from fractions import Fraction
from math import ceil

from coach.errors import Malformed
from coach.ground.wording import full_date
from coach.progress.days import place_of

COOKING_MINUTES = 60
MOST_COOKING = 1440
KILOGRAMS_IN_A_POUND = Fraction("0.45359237")
"""The international pound, exact by definition."""

_OUNCES_IN_A_POUND = 16
_POUNDS_A_DAY = 4
_MINUTES_A_POUND = 30
_LEAST_MINUTES = 60
_MOST_POUNDS = 1000
_NUMBER = r"([0-9]{1,6}(?:[.,][0-9]{1,12})?|[.,][0-9]{1,12})"
_ONE_UNIT = re.compile(rf"{_NUMBER}\s*(kg|kilos?|kilograms?|lbs?|pounds?)\.?", re.IGNORECASE)
_POUNDS_AND_OUNCES = re.compile(
    rf"([0-9]{{1,6}})\s*(?:lbs?|pounds?)\.?\s*{_NUMBER}\s*(?:oz|ounces?)\.?", re.IGNORECASE
)


class Kind(StrEnum):
    """What a frozen item is, as far as it matters for how long it keeps once thawed."""

    POULTRY = "poultry"
    FISH = "fish"
    GROUND = "ground"
    CUT = "cut"
    OTHER = "other"


KEEPS_THAWED = {Kind.POULTRY: 2, Kind.FISH: 2, Kind.GROUND: 2, Kind.CUT: 5, Kind.OTHER: 2}
"""Days an item keeps in the refrigerator after thawing there (USDA; university extensions)."""


@dataclass(frozen=True, slots=True)
class Weight:
    """A weight, to be shown as it was typed.

    Attributes:
        typed: What the person wrote.
        pounds: The same in pounds, exactly.
    """

    typed: str
    pounds: Fraction


@dataclass(frozen=True, slots=True)
class FrozenItem:
    """Something of a dish that lies in the freezer."""

    name: str
    weight: Weight
    kind: Kind


@dataclass(frozen=True, slots=True)
class Dish:
    """What can be cooked; a favourite is a dish that is kept.

    Attributes:
        ingredients: Lines as typed, such as “400 g rice”.
        cooking: Minutes it cooks.
    """

    name: str
    ingredients: tuple[str, ...] = ()
    frozen: tuple[FrozenItem, ...] = ()
    cooking: int = COOKING_MINUTES


@dataclass(frozen=True, slots=True)
class Dinner:
    """A dish at a time, given as the wall clock shows it."""

    at: datetime
    dish: Dish


@dataclass(frozen=True, slots=True)
class Thaw:
    """When a frozen item has to leave the freezer.

    Attributes:
        refrigerator_by: The latest date to move it to the refrigerator.
        not_before: The earliest, so that it still keeps on the day of the dinner.
        cold_water_by: The latest time to start thawing it in cold water.
        refrigerator_days: Days it thaws in the refrigerator.
        cold_water_minutes: Minutes it thaws in cold water.
    """

    refrigerator_by: date
    not_before: date
    cold_water_by: datetime
    refrigerator_days: int
    cold_water_minutes: int


class Stage(StrEnum):
    """What can still be done with a frozen item at some moment."""

    EARLY = "early"
    REFRIGERATOR = "refrigerator"
    COLD_WATER = "cold-water"
    TOO_LATE = "too-late"


def weight_of(typed: str) -> Weight:
    """Read a weight in kilograms or pounds, such as 6.4 kg, 14lb or 2 lb 3 oz.

    A comma may stand for the point.

    Raises:
        Malformed: It cannot be read, or is nothing or more than 1000 lb.
    """
    text = typed.strip()
    pounds = _pounds(text)
    if pounds is None:
        raise Malformed(f"“{text[:40]}” is not a weight. Write it in kg or lb, such as 1.2 kg or 14 lb.")
    if not 0 < pounds <= _MOST_POUNDS:
        raise Malformed(
            f"“{text}” cannot be thawed by these rules. Give a weight above 0, up to {_MOST_POUNDS} lb."
        )
    return Weight(text, pounds)


def _pounds(text: str) -> Fraction | None:
    if both := _POUNDS_AND_OUNCES.fullmatch(text):
        return _number(both[1]) + _number(both[2]) / _OUNCES_IN_A_POUND
    if one := _ONE_UNIT.fullmatch(text):
        return _number(one[1]) / (KILOGRAMS_IN_A_POUND if one[2][0] in "kK" else 1)
    return None


def _number(digits: str) -> Fraction:
    return Fraction(digits.replace(",", "."))


def refrigerator_days(weight: Weight) -> int:
    """Days an item thaws in the refrigerator: one for every 4 lb or part of them (USDA)."""
    return max(1, ceil(weight.pounds / _POUNDS_A_DAY))


def cold_water_minutes(weight: Weight) -> int:
    """Minutes an item thaws in cold water: 30 a pound, at least 60 (USDA), rounded up to whole minutes."""
    return max(_LEAST_MINUTES, ceil(weight.pounds * _MINUTES_A_POUND))


def thaw(
    weight: Weight, kind: Kind, at: datetime, cooking: int = COOKING_MINUTES, zone: str | None = None
) -> Thaw:
    """When an item has to leave the freezer for a dinner.

    Args:
        weight: Of the item.
        kind: Of the item.
        at: The dinner's date and time by the wall clock.
        cooking: Minutes the dish cooks.
        zone: IANA name. With it a change of the clocks between start and dinner is taken into account.

    Raises:
        Malformed: The cooking minutes are out of range, or a date lies before the calendar's first.
    """
    if not 0 <= cooking <= MOST_COOKING:
        raise Malformed(f"The cooking minutes go from 0 to {MOST_COOKING}, not {cooking}.")
    days, minutes = refrigerator_days(weight), cold_water_minutes(weight)
    try:
        refrigerator_by = at.date() - timedelta(days=days)
        not_before = refrigerator_by - timedelta(days=KEEPS_THAWED[kind])
        cold_water_by = _earlier(at, timedelta(minutes=cooking + minutes), zone)
    except OverflowError:
        raise Malformed(
            f"A dinner on {full_date(at.date())} leaves no room for thawing in the calendar."
        ) from None
    return Thaw(refrigerator_by, not_before, cold_water_by, days, minutes)


def _earlier(at: datetime, before: timedelta, zone: str | None) -> datetime:
    if zone is None:
        return at - before
    place = place_of(zone)
    instant = at.replace(tzinfo=place).astimezone(UTC) - before
    return instant.astimezone(place).replace(tzinfo=None)


def stage(times: Thaw, now: datetime) -> Stage:
    """What can still be done, by the wall clock; too late is when every one of the three is past."""
    if now.date() < times.not_before:
        return Stage.EARLY
    if now.date() <= times.refrigerator_by:
        return Stage.REFRIGERATOR
    return Stage.COLD_WATER if now <= times.cold_water_by else Stage.TOO_LATE
