"""Which standings are kept: one a week, and none of a day that can still be edited."""

from __future__ import annotations

from datetime import timedelta

from coach.services import today
from progress.living import a_course, on
from services.house import HOME, House


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


def test_a_standing_is_kept_for_every_week_that_can_no_longer_be_edited() -> None:
    assert {days: kept(lived(days)) for days in (8, 15, 16, 22, 23, 29, 30)} == {
        8: [],
        15: [],
        16: [8],
        22: [8],
        23: [8, 15],
        29: [8, 15],
        30: [8, 15, 22],
    }


def test_no_mark_throws_a_kept_standing_away() -> None:
    house = lived(40)
    before = kept(house)
    house.mark(33, "bed", "missed")
    assert kept(house) == before


def test_a_row_of_a_closed_day_throws_away_what_folded_it() -> None:
    house = lived(40)
    with house.store.writing(HOME) as writing:
        writing.append([house.rows()[3]], house.now)
    assert kept(house) == []


def test_todays_fold_reads_no_more_than_two_weeks() -> None:
    house = lived(100)
    seen = []
    with house.store.reading(HOME) as reading:
        state = reading.standing(house.today, [reading.home.standings[max(reading.home.standings)].digest])
        seen = [row.date for row in reading.rows(state.through + timedelta(days=1))] if state else []
    assert seen
    assert house.today - min(seen) <= timedelta(days=14)
    assert today.today(house.context, HOME) == today.today(house.without_cache(), HOME)
