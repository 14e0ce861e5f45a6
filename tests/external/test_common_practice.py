"""What households commonly do. These figures are common practice and have no source."""

from __future__ import annotations

from datetime import date, timedelta

from coach.areas.rules.enough import coverage
from coach.areas.rules.model import Area, DetailTask
from coach.areas.rules.rotation import MINUTES_A_WEEK, Rotation, spread, turns

MONDAY = date(2027, 1, 4)


def test_five_areas_meet_again_after_five_weeks() -> None:
    rotation = Rotation(5, MONDAY)
    met: dict[int, date] = {}
    for turn in turns(rotation, MONDAY, 0, 50):
        (area,) = turn.areas
        assert turn.week - met.get(area, turn.week - timedelta(weeks=5)) == timedelta(weeks=5)
        met[area] = turn.week
    assert len(met) == 5


def test_a_week_is_two_sittings_of_twenty_minutes() -> None:
    assert spread(MONDAY, MINUTES_A_WEEK, {1, 4}) == {date(2027, 1, 5): 20, date(2027, 1, 8): 20}


def test_a_list_of_two_and_a_half_hours_takes_five_turns_of_forty_minutes() -> None:
    minutes = [12, 20, 5, 15, 18, 8, 25, 10, 20, 6, 11]
    tasks = tuple(DetailTask(f"t{number}", "A task", taken) for number, taken in enumerate(minutes))
    five = tuple(
        Area(f"a{number}", f"Area {number}", (), tasks if number == 0 else ()) for number in range(5)
    )
    row = coverage(five, Rotation(5, MONDAY), MONDAY)[0]
    assert (row.minutes, row.visits, row.weeks) == (150, 5, 25)
