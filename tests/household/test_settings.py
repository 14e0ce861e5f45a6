"""The household's settings: zone, hour, ceiling."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from areas.house import AreaHouse
from coach.errors import Malformed
from coach.habits.day import today
from coach.household import settings
from coach.store.memory import MemoryWriting
from habits.house import HOME, House


def test_settings_as_they_stand() -> None:
    found = settings.settings(House().begun(pace="gentle").context, HOME)
    assert (found.zone, found.day_starts, found.minutes, found.pace) == ("UTC", "03:00", None, "gentle")
    assert "Pacific/Apia" in found.zones


def test_a_change_is_written_for_today_and_only_what_changes() -> None:
    house = House().begun()
    house.at(3)
    found = settings.change(house.context, HOME, zone="Europe/Lisbon", day_starts="03:00", minutes="20")
    assert (found.zone, found.day_starts, found.minutes) == ("Europe/Lisbon", "03:00", 20)
    assert house.written() == ["3 zone Europe/Lisbon", "3 minutes 20"]


def test_nothing_changed_writes_nothing() -> None:
    house = House().begun()
    settings.change(house.context, HOME)
    settings.change(house.context, HOME, zone="UTC", day_starts="03:00", minutes="")
    assert house.written() == []


def test_a_blank_lifts_the_ceiling() -> None:
    house = House().begun()
    settings.change(house.context, HOME, minutes=15)
    assert settings.change(house.context, HOME, minutes=" ").minutes is None
    assert house.written() == ["1 minutes 15", "1 minutes"]


def test_another_pace_holds_from_today_on_and_is_written_once() -> None:
    house = House().begun()
    house.at(3)
    assert settings.change(house.context, HOME, pace="gentle").pace == "gentle"
    settings.change(house.context, HOME, pace="gentle", minutes=20)
    assert house.written() == ["3 pace gentle", "3 minutes 20"]
    settings.change(house.context, HOME, pace="standard")
    settings.change(house.context, HOME, pace="gentle")
    assert house.written()[2:] == ["3 pace standard", "3 pace gentle"]
    assert settings.settings(house.context, HOME).pace == "gentle"


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"pace": "fast"}, "There is no pace “fast”. Choose one of: standard, gentle."),
        ({"pace": ""}, "There is no pace “”"),
        ({"minutes": "20", "pace": "Gentle"}, "There is no pace “Gentle”"),
        ({"zone": "Lisbon"}, "There is no time zone “Lisbon”"),
        ({"day_starts": "15"}, "“15” is not a time of day"),
        ({"minutes": "ten"}, "“ten” is no number of minutes from 0 to 1440"),
        ({"minutes": "-1"}, "“-1” is no number of minutes"),
        ({"minutes": "1441"}, "“1441” is no number of minutes"),
        ({"minutes": "000009999"}, "“000009999” is no number of minutes"),
        ({"zone": "Europe/Lisbon", "minutes": "ten"}, "“ten” is no number of minutes"),
    ],
)
def test_what_cannot_be_read_is_refused_and_nothing_is_written(change: dict[str, str], words: str) -> None:
    house = House().begun()
    with pytest.raises(Malformed, match=words):
        settings.change(house.context, HOME, **change)
    assert house.written() == []


def test_a_new_zone_or_hour_changes_today_and_no_date_in_the_log() -> None:
    house = House().begun()
    house.mark(1, "bed")
    house.now = datetime(2027, 1, 5, 20, tzinfo=UTC)
    house.mark(2, "bed")
    settings.change(house.context, HOME, zone="Pacific/Auckland")
    assert today(house.context, HOME).date == date(2027, 1, 6)
    settings.change(house.context, HOME, zone="UTC", day_starts="21:00")
    assert today(house.context, HOME).date == date(2027, 1, 4)
    assert house.written()[:2] == ["1 kept bed", "2 kept bed"]


def test_moving_on_twice_leaves_the_last_place_in_force_in_the_log_too() -> None:
    house = House().begun()
    house.now = datetime(2027, 1, 10, 20, tzinfo=UTC)
    for zone in ("Pacific/Auckland", "UTC", "Europe/Lisbon"):
        settings.change(house.context, HOME, zone=zone)
    house.now = datetime(2027, 1, 12, 12, tzinfo=UTC)
    by_date = sorted((row for row in house.rows() if row.what == "zone"), key=lambda row: row.date)
    assert by_date[-1].value == "Europe/Lisbon"
    assert settings.settings(house.context, HOME).zone == "Europe/Lisbon"


def test_weeks_can_begin_on_sunday_and_the_areas_keep_their_turn() -> None:
    home = AreaHouse()
    before, turns = home.week.week, home.turns
    found = settings.change(home.context, HOME, week_starts="sunday")
    assert found.week_starts == "sunday"
    assert (before.isoweekday(), home.week.week.isoweekday()) == (1, 7)
    assert home.turns == turns


def test_the_day_weeks_begin_on_and_the_turns_change_together_or_not_at_all(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def fail(*_: object) -> bool:
        raise OSError("The disk is full.")

    home = AreaHouse()
    before, turns = settings.settings(home.context, HOME), home.turns
    monkeypatch.setattr(MemoryWriting, "put_plan", fail)
    with pytest.raises(OSError, match="disk is full"):
        settings.change(home.context, HOME, week_starts="sunday")
    assert settings.settings(home.context, HOME) == before
    monkeypatch.undo()
    assert (home.week.week.isoweekday(), home.turns) == (1, turns)


def test_weeks_begin_on_sunday_without_areas_too() -> None:
    house = House().begun()
    assert settings.change(house.context, HOME, week_starts="sunday").week_starts == "sunday"
    assert house.written() == []


def test_weeks_begin_on_no_other_day() -> None:
    with pytest.raises(Malformed, match="Choose monday or sunday"):
        settings.change(House().begun().context, HOME, week_starts="friday")
