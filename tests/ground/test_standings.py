"""Which standings are kept: one a week, and those of the days that can still be edited."""

from __future__ import annotations

from datetime import timedelta

from coach.habits.day import today
from habits.house import HOME, House
from progress.living import a_course, on


def lived(days: int) -> House:
    """A household that marked its bed each day."""
    house = House(a_course("bed")).begun()
    for day in range(1, days + 1):
        house.at(day)
        house.mark(day, "bed")
    return house


def kept(house: House) -> list[int]:
    """The days through which a standing is kept."""
    with house.store.reading(HOME) as reading:
        return sorted((through - on(1)).days + 1 for through in reading.home.standings)


def test_a_standing_is_kept_for_every_week_and_for_the_days_that_can_still_be_edited() -> None:
    assert {days: kept(lived(days)) for days in (1, 2, 9, 10, 17, 24, 30)} == {
        1: [],
        2: [1],
        9: [1, 2, 3, 4, 5, 6, 7, 8],
        10: [1, 2, 3, 4, 5, 6, 7, 8, 9],
        17: [1, 8, *range(9, 17)],
        24: [1, 8, 15, *range(16, 24)],
        30: [1, 8, 15, *range(22, 30)],
    }


def test_days_without_a_mark_leave_no_week_out_and_what_lies_far_back_goes() -> None:
    house = lived(12).at(40)
    house.mark(40, "bed")
    assert kept(house) == [1, 8, 15, 22, 29, 39]


def test_a_mark_throws_away_what_folded_its_day_and_keeps_the_day_before() -> None:
    house = lived(40)
    house.mark(33, "bed", "missed")
    assert kept(house) == [1, 8, 15, 22, 29, 32]


def test_a_row_of_a_closed_day_throws_away_what_folded_it() -> None:
    house = lived(40)
    with house.store.writing(HOME) as writing:
        writing.append([house.rows()[3]], house.now)
    assert kept(house) == []


def test_todays_fold_reads_the_rows_of_today_alone() -> None:
    house = lived(100)
    seen = []
    with house.store.reading(HOME) as reading:
        state = reading.standing(house.today, [reading.home.standings[max(reading.home.standings)].digest])
        seen = [row.date for row in reading.rows(state.through + timedelta(days=1))] if state else []
    assert seen
    assert set(seen) == {house.today}
    assert today(house.context, HOME) == today(house.without_cache(), HOME)
