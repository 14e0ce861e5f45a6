from __future__ import annotations

import pytest

from areas.rules.homes import MONDAY, day
from coach.areas.rules.spread import spread
from coach.errors import Malformed


def test_the_areas_minutes_are_spread_over_the_chosen_days() -> None:
    assert spread(MONDAY, 60, {2, 5}) == {day("2027-01-06"): 30, day("2027-01-09"): 30}
    # A week that begins on Sunday: what is left over goes to its first chosen day.
    sunday = day("2027-01-03")
    assert spread(sunday, 61, {6, 0}) == {sunday: 31, day("2027-01-04"): 30}
    assert spread(MONDAY, 60, ()) == {}


def test_a_weekday_that_is_none_is_refused() -> None:
    with pytest.raises(Malformed, match="0 \\(Monday\\) to 6, not 7"):
        spread(MONDAY, 60, {7})
