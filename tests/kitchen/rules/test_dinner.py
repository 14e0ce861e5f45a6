from __future__ import annotations

from datetime import datetime
from fractions import Fraction

import pytest

from areas.rules.homes import day
from coach.errors import Malformed
from coach.kitchen.rules.dinner import (
    Kind,
    Stage,
    cold_water_minutes,
    refrigerator_days,
    stage,
    thaw,
    weight_of,
)


def at(text: str) -> datetime:
    return datetime.fromisoformat(text)


SIX = at("2027-01-10T18:00")


@pytest.mark.parametrize(
    ("typed", "pounds"),
    [
        ("14lb", 14),
        ("14 lbs", 14),
        ("1 pound", 1),
        ("2.5 LB", Fraction(5, 2)),
        ("2 lb 3 oz", Fraction(35, 16)),
        ("1000 lb", 1000),
        ("2lb 3.5oz", Fraction(71, 32)),
        ("0.45359237kg", 1),
        ("6.4 kg", Fraction("6.4") / Fraction("0.45359237")),
        ("6,4 kilos", Fraction("6.4") / Fraction("0.45359237")),
    ],
)
def test_a_weight_is_read_exactly_and_kept_as_typed(typed: str, pounds: Fraction | int) -> None:
    weight = weight_of(f" {typed} ")
    assert (weight.pounds, weight.typed) == (pounds, typed)


@pytest.mark.parametrize(
    "typed", ["a lot", "14", "lb", "14 stone", "500 g", "-3 lb", "1e3 lb", "١٤ lb", "", "nan kg", "1.2.3 kg"]
)
def test_what_is_no_weight_is_refused_with_an_example(typed: str) -> None:
    with pytest.raises(Malformed, match="Write it in kg or lb, such as"):
        weight_of(typed)


@pytest.mark.parametrize("typed", ["0 kg", "0.0lb", "1001 lb", "999999 kg"])
def test_a_weight_nobody_thaws_is_refused(typed: str) -> None:
    with pytest.raises(Malformed, match="above 0, up to 1000 lb"):
        weight_of(typed)


@pytest.mark.parametrize(
    ("typed", "days"), [("4 lb", 1), ("4.01 lb", 2), ("0.3kg", 1), ("1.81436948 kg", 1), ("1.81436949 kg", 2)]
)
def test_every_four_pounds_begun_take_a_day_in_the_refrigerator(typed: str, days: int) -> None:
    assert refrigerator_days(weight_of(typed)) == days


@pytest.mark.parametrize(
    ("typed", "minutes"), [("2 lb", 60), ("0.5 lb", 60), ("2.1 lb", 63), ("3.01 lb", 91), ("6.4kg", 424)]
)
def test_every_pound_takes_half_an_hour_in_cold_water_and_all_an_hour_at_least(
    typed: str, minutes: int
) -> None:
    assert cold_water_minutes(weight_of(typed)) == minutes


def test_when_to_take_a_large_bird_out() -> None:
    times = thaw(weight_of("14lb"), Kind.POULTRY, SIX)
    assert (times.refrigerator_by, times.not_before) == (day("2027-01-06"), day("2027-01-04"))
    assert times.cold_water_by == at("2027-01-10T10:00")


@pytest.mark.parametrize(
    ("kind", "not_before"),
    [("poultry", "01-07"), ("fish", "01-07"), ("ground", "01-07"), ("cut", "01-04"), ("other", "01-07")],
)
def test_how_early_goes_by_how_long_it_keeps_thawed(kind: str, not_before: str) -> None:
    assert thaw(weight_of("1lb"), Kind(kind), SIX).not_before == day(f"2027-{not_before}")


def test_the_dish_needs_its_time_to_cook() -> None:
    assert thaw(weight_of("1lb"), Kind.FISH, SIX, cooking=15).cold_water_by == at("2027-01-10T16:45")
    assert thaw(weight_of("14lb"), Kind.FISH, SIX, cooking=900).cold_water_by == at("2027-01-09T20:00")
    assert thaw(weight_of("1lb"), Kind.FISH, SIX, cooking=0).cold_water_by == at("2027-01-10T17:00")
    assert thaw(weight_of("1lb"), Kind.FISH, SIX, cooking=1440).cold_water_by == at("2027-01-09T17:00")
    for minutes in (-1, 1441):
        with pytest.raises(Malformed, match="from 0 to 1440"):
            thaw(weight_of("1lb"), Kind.FISH, SIX, minutes)


def test_an_hour_the_clocks_skip_is_no_hour_in_cold_water() -> None:
    # New York loses the hour from 02:00 on 14 March 2027.
    dinner = at("2027-03-14T06:00")
    assert thaw(weight_of("8lb"), Kind.CUT, dinner).cold_water_by == at("2027-03-14T01:00")
    in_zone = thaw(weight_of("8lb"), Kind.CUT, dinner, zone="America/New_York")
    assert in_zone.cold_water_by == at("2027-03-14T00:00")


def test_a_dinner_at_the_calendars_beginning_is_refused() -> None:
    with pytest.raises(Malformed, match="no room for thawing"):
        thaw(weight_of("14lb"), Kind.CUT, at("0001-01-02T18:00"))


@pytest.mark.parametrize(
    ("now", "what"),
    [
        ("2027-01-03T23:59", Stage.EARLY),
        ("2027-01-04T00:00", Stage.REFRIGERATOR),
        ("2027-01-06T23:59", Stage.REFRIGERATOR),
        ("2027-01-07T00:00", Stage.COLD_WATER),
        ("2027-01-10T10:00", Stage.COLD_WATER),
        ("2027-01-10T10:01", Stage.TOO_LATE),
    ],
)
def test_what_can_still_be_done(now: str, what: Stage) -> None:
    assert stage(thaw(weight_of("14lb"), Kind.POULTRY, SIX), at(now)) is what
