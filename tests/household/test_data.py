"""A household's own data: out, in again whole or not at all, and gone."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from coach.errors import FaultyFile, Malformed, NotStarted
from coach.habits import pauses, steps
from coach.habits.day import day as day_on
from coach.habits.day import today
from coach.household import data, settings
from habits.house import HOME, SMALL, House
from progress.living import a_course, on

START = "date,what,step,value\n2027-01-04,start,bed,\n"


def lived() -> House:
    """A household with some weeks of everything behind it."""
    house = House().begun(pace="gentle")
    steps.add(house.context, HOME, "plants", {"title": "Plants, green", "waits": False, "after": ["bed"]})
    for day in range(1, 20):
        house.at(day)
        for line in today(house.context, HOME).checklist:
            house.mark(day, line.step, "missed" if day % 5 == 0 else "kept")
    settings.change(house.context, HOME, zone="Europe/Lisbon", day_starts="05:00", minutes="40")
    pauses.pause(house.context, HOME, on(25), on(27))
    steps.adjust(house.context, HOME, "bed", {"cue": "when the “kettle” clicks", "minutes": 1})
    return house


def test_an_export_read_into_another_household_gives_the_same_days() -> None:
    house, other = lived(), House()
    other.at(19)
    data.load(other.context, HOME, data.export(house.context, HOME))
    assert data.export(other.context, HOME) == data.export(house.context, HOME)
    for number in (1, 8, 18, 19):
        assert day_on(other.context, HOME, on(number)) == day_on(house.context, HOME, on(number))
    assert settings.settings(other.context, HOME) == settings.settings(house.context, HOME)


def test_an_import_says_what_it_brought() -> None:
    house = House()
    house.at(3)
    brought = data.load(house.context, HOME, f"{START}2027-01-05,kept,bed,\n2027-01-09,pause,,\n")
    assert (brought.rows, brought.first, brought.last) == (3, date(2027, 1, 4), date(2027, 1, 9))


def test_an_import_takes_the_place_of_what_was_there() -> None:
    house = lived()
    data.load(house.context, HOME, START)
    assert [row.what.value for row in house.rows()] == ["start"]
    assert today(house.context, HOME).phase == "lapsed"


def test_a_long_log_is_kept_with_its_standings() -> None:
    house = House().at(60)
    rows = "".join(f"{on(day)},kept,bed,\n" for day in range(1, 60))
    data.load(house.context, HOME, START + rows)
    assert house.saved() > 3
    assert today(house.context, HOME) == today(house.without_cache(), HOME)


def test_the_zone_in_force_is_the_logs_last_one_so_far() -> None:
    house = House()
    moves = "2027-01-04,zone,,Europe/Lisbon\n2027-01-04,day-starts,,05:00\n2029-01-04,zone,,Pacific/Apia\n"
    data.load(house.context, HOME, START + moves)
    found = settings.settings(house.context, HOME)
    assert (found.zone, found.day_starts) == ("Europe/Lisbon", "05:00")


@pytest.mark.parametrize(
    ("day", "zone"),
    [(2, "Europe/Lisbon"), (3, "Pacific/Auckland"), (4, "Europe/Lisbon"), (5, "Europe/Lisbon")],
)
def test_a_zone_holds_from_the_opening_of_its_date_and_not_before(day: int, zone: str) -> None:
    """On the third day at noon, which is past midnight of the fourth in Auckland."""
    house = House().at(3)
    moves = f"{on(1)},zone,,Europe/Lisbon\n{on(day)},zone,,Pacific/Auckland\n"
    back = f"{on(day + 1)},zone,,Europe/Lisbon\n" if day == 2 else ""
    data.load(house.context, HOME, START + moves + back)
    assert settings.settings(house.context, HOME).zone == zone


def test_an_hour_dated_tomorrow_does_not_hold_today() -> None:
    house = House().at(3)
    data.load(house.context, HOME, f"{START}{on(3)},day-starts,,05:00\n{on(4)},day-starts,,15:00\n")
    assert settings.settings(house.context, HOME).day_starts == "05:00"


def test_a_household_east_of_greenwich_can_begin_where_the_day_has_come_already() -> None:
    house = House().at(3, "20:00")
    began = f"{on(4)},zone,,Pacific/Auckland\n{on(4)},day-starts,,05:00\n{on(4)},start,bed,\n"
    data.load(house.context, HOME, f"date,what,step,value\n{began}{on(4)},kept,bed,\n")
    assert today(house.context, HOME).date == on(4)


@pytest.mark.parametrize(
    ("rows", "lines"),
    [
        ("2027-01-05,kept,attic,\n", [3]),
        ("2027-01-05,kept,bed,\nx,y,z\n2027-01-06,done,bed,\n", [4, 5]),
        ("2027-01-05,kept,attic,\nx,y,z\n", [3, 4]),
        ("2227-02-05,kept,bed,\n2027-01-03,kept,bed,\n", [3, 4]),
        ('2027-01-05,add,plants,"{""title"": ""P"", ""repeats"": ""FREQ=SECONDLY""}"\n', [3]),
        ('2027-01-05,kept,bed,\n2027-01-05,adjust,bed,"{\n', [4]),
        ("2027-01-05,start,bed,\n", [3]),
    ],
)
def test_a_log_with_any_fault_is_refused_whole_and_every_fault_is_named(rows: str, lines: list[int]) -> None:
    house = lived()
    before = data.export(house.context, HOME), house.store.version(HOME)
    with pytest.raises(FaultyFile) as refused:
        data.load(house.context, HOME, START + rows, "theirs.csv")
    assert [fault.line for fault in refused.value.faults] == lines
    assert {fault.file for fault in refused.value.faults} == {"theirs.csv"}
    assert (data.export(house.context, HOME), house.store.version(HOME)) == before


def test_an_adjustment_that_does_not_fit_its_step_is_refused_whole_too() -> None:
    house = lived()
    before = data.export(house.context, HOME)
    with pytest.raises(FaultyFile):
        data.load(house.context, HOME, f'{START}2027-01-05,adjust,bed,"{{""waits"": false}}"\n')
    assert data.export(house.context, HOME) == before


def test_a_log_that_is_far_too_long_is_refused() -> None:
    with pytest.raises(Malformed, match="is not read"):
        data.load(House().context, HOME, " " * 20_000_001)


def test_a_household_that_fails_to_import_has_not_started() -> None:
    house = House()
    with pytest.raises(FaultyFile):
        data.load(house.context, HOME, "date,what,step,value\n")
    with pytest.raises(NotStarted):
        data.export(house.context, HOME)


def test_everything_deleted_is_gone_and_one_can_start_again() -> None:
    house = lived()
    data.forget(house.context, HOME)
    with pytest.raises(NotStarted):
        today(house.context, HOME)
    assert house.saved() == 0
    assert house.begun().written() == []
    assert today(house.context, HOME).day == 1


def test_the_whole_course_counts_for_an_import_as_it_is_now() -> None:
    house = House()
    house.at(3)
    house.shelf.put(replace(a_course(*SMALL.steps[1:], "mat"), title="Without the bed"))
    with pytest.raises(FaultyFile, match=r"“bed” is no step to begin with. Choose one of: mat"):
        data.load(house.context, HOME, START)
