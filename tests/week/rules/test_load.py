from __future__ import annotations

import pytest

from areas.rules.homes import MONDAY, ids
from coach.course.model import Step
from coach.errors import Malformed
from coach.week.rules.load import can_wait, check_available, day_load

BED, FLOORS = Step("bed", "Make the bed", minutes=2), Step("floors", "Main rooms", minutes=60)


def test_a_day_holds_its_steps_and_the_areas_share() -> None:
    load = day_load(MONDAY, [BED, FLOORS], {MONDAY: 20}, {0: 70})
    assert (load.date, load.minutes, load.available, load.overload) == (MONDAY, 82, 70, 12)


def test_a_day_with_time_to_spare_has_no_overload() -> None:
    assert day_load(MONDAY, [BED], {}, {0: 70}).overload == 0


def test_without_minutes_available_there_is_no_overload() -> None:
    load = day_load(MONDAY, [FLOORS], {}, {1: 10})
    assert (load.available, load.overload) == (None, 0)


def test_a_weekday_that_is_none_is_refused() -> None:
    with pytest.raises(Malformed, match="0 \\(Monday\\) to 6, not -1"):
        check_available({-1: 30})


def test_a_day_has_no_more_minutes_than_a_day() -> None:
    check_available({0: 0, 6: 1440})
    with pytest.raises(Malformed, match="0 to 1440 minutes available, not 1441"):
        check_available({0: 1441})


def test_an_overloaded_day_offers_what_can_wait_the_longest_first() -> None:
    bags = Step("bags", "Bags", minutes=15)
    steps = [BED, bags, FLOORS]
    assert ids(can_wait(day_load(MONDAY, steps, {}, {0: 30}), {"floors", "bags"})) == ["floors", "bags"]
    assert can_wait(day_load(MONDAY, steps, {}, {0: 77}), {"floors", "bags"}) == ()
