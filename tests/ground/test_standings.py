"""Which standings are kept: those of the days that can still be edited, and fewer the older they are."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import timedelta
from itertools import pairwise
from typing import TYPE_CHECKING

from coach.ground import versions
from coach.ground.spacing import spaced
from coach.habits.day import day, today
from coach.household import data
from coach.progress.csvform import write_log
from coach.progress.log import Row, What
from habits.house import HOME, House
from progress.living import a_course, a_step, on

if TYPE_CHECKING:
    import pytest


def lived(days: int) -> House:
    """A household that marked its bed each day."""
    house = House(a_course("bed")).begun()
    for number in range(1, days + 1):
        house.at(number)
        house.mark(number, "bed")
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


def brought_in(days: int) -> House:
    """A household whose log of so many days has just been imported."""
    house = House(a_course("bed")).begun()
    rows = [*house.rows(), *(Row(on(number), What.KEPT, "bed") for number in range(2, days + 1))]
    house.at(days)
    data.load(house.context, HOME, write_log(rows))
    return house


def test_standings_are_weeks_apart_then_four_weeks_and_after_a_year_a_year() -> None:
    days = kept(brought_in(1200))
    weeks = [(one - 1) // 7 for one in days[:-1]]
    assert weeks == [52, 104, *range(120, 164, 4), *range(163, 171)]
    assert days[-1] == 1199


def test_ten_years_keep_thirty_standings() -> None:
    assert len(kept(brought_in(3653))) <= 30


def test_what_was_kept_for_every_week_is_thinned_out_by_the_next_row() -> None:
    house = brought_in(1200)
    with house.store.writing(HOME) as writing:
        some = writing.standing(house.today, [writing.home.standings[on(1199)].digest])
        assert some is not None
        writing.save_standings([replace(some, through=on(1 + 7 * week)) for week in range(1, 170)])
    assert len(kept(house)) > 160
    house.at(1201).mark(1201, "bed")
    assert kept(house) == [*kept(brought_in(1200)), 1200]


def test_thinning_out_throws_nothing_away_that_is_wanted_later() -> None:
    started = on(1)
    wanted = [set(spaced(started, started + timedelta(days=ago))) for ago in range(1500)]
    for before, after in pairwise(wanted):
        assert after - before <= set(sorted(after)[-1:])


def test_a_day_years_ago_is_the_same_from_a_thinned_standing_and_from_nothing() -> None:
    house = brought_in(1200)
    assert day(house.context, HOME, on(700)) == day(house.without_cache(), HOME, on(700))


def of_format_two(state: str) -> str:
    """A state as it was written before lessons had their turns."""
    values = json.loads(state)
    del values["turns"]
    for record in values["records"].values():
        record["days"] = record.pop("read") + 1
    return json.dumps(values)


def test_standings_of_the_format_before_are_not_read_and_nothing_is_lost(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    house = House(a_course(a_step("bed", 40), "cups", at_once=2)).begun()
    with monkeypatch.context() as before:
        before.setattr(versions, "FORMAT", 2)
        for number in range(1, 31):
            house.at(number)
            house.mark(number, "bed")
    with house.store.writing(HOME) as writing:
        old = writing.home.standings
        aged = [replace(saved, state=of_format_two(saved.state)) for saved in old.values()]
        writing.save_standings(aged)
    house.memo.forget()
    house.at(31)
    seen = [day(house.context, HOME, on(number)) for number in range(1, 32)]
    assert seen == [day(house.without_cache(), HOME, on(number)) for number in range(1, 32)]
    assert [one.lesson and one.lesson.number for one in seen] == [*range(1, 32)]
    marked = house.mark(31, "bed")
    assert marked == day(house.without_cache(), HOME, on(31))
    with house.store.reading(HOME) as reading:
        found = reading.home.standings
        assert found[on(30)].digest not in {saved.digest for saved in old.values()}
    assert len(house.rows()) == 3 + 31
