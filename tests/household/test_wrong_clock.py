"""A clock that is ahead for a while: nothing is lost, and the log can be brought in again."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from coach.habits import day as days
from coach.habits import pauses, steps
from coach.household import data, settings
from habits.house import HOME, House
from progress.living import on

if TYPE_CHECKING:
    from coach.household.answers import Ahead

YEAR, TWENTY_YEARS = 366, 7_306


def led_astray(day: int) -> House:
    """A household whose clock showed another day for a while, on which it did all that can be done."""
    house = House().begun()
    house.mark(1, "bed")
    house.at(day)
    house.mark(day, "bed")
    house.mark(day, "cups", "missed")
    steps.add(house.context, HOME, "plants", {"title": "Plants"})
    steps.adjust(house.context, HOME, "bed", {"minutes": 4})
    steps.set_aside(house.context, HOME, "job")
    settings.change(house.context, HOME, minutes=20)
    pauses.pause(house.context, HOME, on(day + 1), on(day + 3))
    return house.at(2)


def ahead_of(house: House) -> Ahead | None:
    """What is dated after today."""
    return data.places_and_ahead(house.context, HOME)[1]


def seen(house: House, *numbers: int) -> list[object]:
    """What the household is shown on some days, by a clock that shows them."""
    return [days.today(house.at(number).context, HOME) for number in numbers]


@pytest.mark.parametrize("ahead", [YEAR, TWENTY_YEARS])
def test_a_log_written_by_a_clock_that_was_ahead_comes_in_again_and_means_the_same(ahead: int) -> None:
    house = led_astray(ahead)
    house.mark(2, "bed")
    text, rows = data.export(house.context, HOME), house.rows()
    before = seen(house, 2, 3, ahead - 1, ahead, ahead + 2, ahead + 5)
    found = data.load(house.at(2).context, HOME, text)
    assert house.rows() == rows
    assert (found.later, found.last) == (7, max(row.date for row in rows))
    assert seen(house, 2, 3, ahead - 1, ahead, ahead + 2, ahead + 5) == before


def test_what_a_clock_that_was_ahead_wrote_holds_from_its_date_on() -> None:
    house = led_astray(YEAR)
    assert days.today(house.context, HOME).checklist[0].minutes == 2
    data.load(house.context, HOME, data.export(house.context, HOME))
    (bed, *_) = days.today(house.at(YEAR).context, HOME).checklist
    assert (bed.step, bed.minutes) == ("bed", 4)


def test_a_step_added_again_once_the_clock_is_right_comes_in_as_it_was() -> None:
    house = led_astray(YEAR)
    steps.add(house.context, HOME, "plants", {"title": "Green plants"})
    rows = house.rows()
    data.load(house.context, HOME, data.export(house.context, HOME))
    data.load(house.at(YEAR + 10).context, HOME, data.export(house.context, HOME))
    assert house.rows() == rows


def test_a_household_that_began_while_the_clock_was_ahead_can_come_in_again() -> None:
    house = House().at(TWENTY_YEARS).begun()
    house.mark(TWENTY_YEARS, "bed")
    text, shown = data.export(house.at(3).context, HOME), days.today(house.context, HOME)
    assert shown.date == on(TWENTY_YEARS)
    found = data.load(house.context, HOME, text)
    assert found.rows == found.later == 4
    assert days.today(house.context, HOME) == shown
    other = House().at(3)
    data.load(other.context, HOME, text)
    assert days.today(other.context, HOME) == shown


def test_the_rows_dated_after_today_are_told_as_long_as_there_are_any() -> None:
    house = led_astray(YEAR)
    found = ahead_of(house)
    assert found is not None
    assert (found.today, found.rows, found.first, found.start) == (on(2), 7, on(YEAR), None)
    assert ahead_of(house.at(YEAR + 1)) is None
    assert ahead_of(House()) is None


def test_a_start_after_today_is_told_too() -> None:
    house = House().at(40).begun()
    found = ahead_of(house.at(3))
    assert found is not None
    assert found.start == on(40)


def test_a_log_mended_by_hand_gives_the_days_their_right_dates() -> None:
    house = House().at(TWENTY_YEARS).begun()
    house.mark(TWENTY_YEARS, "bed")
    text = data.export(house.at(3).context, HOME)
    data.load(house.context, HOME, text.replace(str(on(TWENTY_YEARS)), str(on(2))))
    assert ahead_of(house) is None
    assert days.today(house.context, HOME).date == on(3)
    assert {row.date for row in house.rows()} == {on(2)}
