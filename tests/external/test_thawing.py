"""Thawing and keeping times against the figures of the USDA.

Source: USDA, thawing in the refrigerator and in cold water, with its table for turkeys; how long food keeps
after thawing: USDA and university extensions.
"""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from coach.kitchen.rules.dinner import (
    KEEPS_THAWED,
    Kind,
    cold_water_minutes,
    refrigerator_days,
    thaw,
    weight_of,
)

# Turkey in the refrigerator: pounds from, pounds to, days from, days to.
TURKEY = [(4, 12, 1, 3), (12, 16, 3, 4), (16, 20, 4, 5), (20, 24, 5, 6)]


@pytest.mark.parametrize(("pounds", "days"), [(4, 1), (12, 3), (16, 4), (20, 5), (24, 6)])
def test_days_in_the_refrigerator(pounds: int, days: int) -> None:
    assert refrigerator_days(weight_of(f"{pounds} lb")) == days


@pytest.mark.parametrize(("least", "most", "shortest", "longest"), TURKEY)
def test_every_weight_of_the_table_thaws_within_its_range(
    least: int, most: int, shortest: int, longest: int
) -> None:
    for tenths in range(least * 10, most * 10 + 1):
        assert shortest <= refrigerator_days(weight_of(f"{tenths / 10} lb")) <= longest


def test_never_under_a_day() -> None:
    assert refrigerator_days(weight_of("0.1 lb")) == 1


@pytest.mark.parametrize(("pounds", "minutes"), [(1, 60), (2, 60), (4, 120), (12, 360), (14, 420), (24, 720)])
def test_minutes_in_cold_water(pounds: int, minutes: int) -> None:
    assert cold_water_minutes(weight_of(f"{pounds} lb")) == minutes


@pytest.mark.parametrize(
    ("kind", "least", "most"),
    [("poultry", 1, 2), ("fish", 1, 2), ("ground", 1, 2), ("cut", 3, 5), ("other", 1, 2)],
)
def test_days_it_keeps_after_thawing(kind: str, least: int, most: int) -> None:
    """What no source names keeps no longer than the shortest."""
    assert least <= KEEPS_THAWED[Kind(kind)] <= most


@pytest.mark.parametrize("kind", Kind)
def test_thawed_as_early_as_allowed_it_still_keeps_on_the_day(kind: Kind) -> None:
    dinner = datetime.fromisoformat("2027-01-10T18:00")
    for pounds in range(1, 25):
        times = thaw(weight_of(f"{pounds} lb"), kind, dinner)
        thawed = times.not_before + timedelta(days=times.refrigerator_days)
        assert (dinner.date() - thawed).days == KEEPS_THAWED[kind]
