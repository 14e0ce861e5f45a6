"""The start of a household."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import TYPE_CHECKING

import pytest

from coach.errors import AlreadyStarted, Malformed, NotStarted, Unknown
from coach.habits import path, pauses, steps
from coach.habits.day import day as day_on
from coach.habits.day import today
from coach.household import data, settings, start
from habits import marking
from habits.house import HOME, House

if TYPE_CHECKING:
    from collections.abc import Callable

    from coach.ground.ports import Context


def test_the_start_page_offers_the_roots_with_their_why_the_zones_and_the_paces() -> None:
    offered = start.choices(House().context, HOME)
    assert [(root.step, root.why) for root in offered.roots] == [("bed", "It shows at once.")]
    assert {"UTC", "Europe/Lisbon", "Pacific/Auckland"} <= set(offered.zones)
    assert offered.paces == ("standard", "gentle")
    assert offered.started is False


def test_the_first_day_shows_one_lesson_and_one_line() -> None:
    day = start.start(House().context, HOME, "bed", "Europe/Lisbon", "04:30", "gentle")
    assert (day.day, day.phase, day.introduced, day.today, day.editable) == (1, "ramping", "bed", True, True)
    assert [line.step for line in day.checklist] == ["bed"]
    assert day.lesson is not None
    assert (day.lesson.step, day.lesson.title) == ("bed", "bed 1")
    assert (day.earlier, day.later) == (None, None)


def test_the_start_is_written_as_three_rows() -> None:
    house = House()
    start.start(house.context, HOME, None, "Europe/Lisbon", "04:30", "gentle")
    assert data.export(house.context, HOME).splitlines()[1:] == [
        "2027-01-04,zone,,Europe/Lisbon",
        "2027-01-04,day-starts,,04:30",
        "2027-01-04,start,bed,gentle",
    ]


def test_a_start_before_the_day_begins_belongs_to_the_day_before() -> None:
    house = House().at(2, "01:30")
    assert start.start(house.context, HOME).date == date(2027, 1, 4)


def test_the_zone_decides_the_first_date() -> None:
    house = House()
    house.now = datetime(2027, 1, 4, 20, tzinfo=UTC)
    assert start.start(house.context, HOME, zone="Pacific/Auckland").date == date(2027, 1, 5)


def test_starting_twice_is_refused_and_changes_nothing() -> None:
    house = House().begun()
    before = house.rows()
    with pytest.raises(AlreadyStarted, match="has started already"):
        start.start(house.context, HOME, "bed")
    assert house.rows() == before
    assert start.choices(house.context, HOME).started is True


@pytest.mark.parametrize(
    ("choice", "error", "words"),
    [
        ({"first": "attic"}, Unknown, "There is no step “attic”"),
        ({"first": "cups"}, Malformed, "“cups” needs other steps first. Begin with one of: bed."),
        ({"zone": "Mars/Olympus"}, Malformed, "There is no time zone “Mars/Olympus”"),
        ({"day_starts": "noon"}, Malformed, "“noon” is not a time of day"),
        ({"pace": "fast"}, Malformed, "There is no pace “fast”. Choose one of: standard, gentle."),
    ],
)
def test_a_choice_nobody_can_make_is_refused_and_nothing_is_written(
    choice: dict[str, str], error: type[Exception], words: str
) -> None:
    house = House()
    with pytest.raises(error, match=words):
        start.start(house.context, HOME, **choice)
    assert house.store.version(HOME) is None


@pytest.mark.parametrize(
    "do",
    [
        lambda context: today(context, HOME),
        lambda context: day_on(context, HOME, date(2027, 1, 4)),
        lambda context: marking.mark(context, HOME, date(2027, 1, 4), "bed", "kept"),
        lambda context: marking.unmark(context, HOME, date(2027, 1, 4), "bed"),
        lambda context: pauses.pause(context, HOME),
        lambda context: pauses.resume(context, HOME),
        lambda context: pauses.call_off(context, HOME, date(2027, 1, 9)),
        lambda context: steps.add(context, HOME, None, {"title": "Plants"}),
        lambda context: steps.set_aside(context, HOME, "bed"),
        lambda context: steps.take_next(context, HOME, "bed"),
        lambda context: settings.settings(context, HOME),
        lambda context: settings.change(context, HOME, zone="UTC"),
        lambda context: data.export(context, HOME),
    ],
)
def test_before_the_start_everything_else_says_where_to_start(do: Callable[[Context], object]) -> None:
    with pytest.raises(NotStarted):
        do(House().context)


def test_before_the_start_the_path_shows_every_step_ahead() -> None:
    shown = path.path(House().context, HOME)
    assert shown.started is False
    assert {step.state for step in shown.steps} == {"ahead"}
    assert path.step(House().context, HOME, "cups").can == ()


def test_a_household_started_while_a_day_was_tried_out_ahead_stays_on_its_first_day_until_then() -> None:
    house = House().at(5).begun()
    house.at(1)
    day = today(house.context, HOME)
    assert (day.date, day.day) == (date(2027, 1, 8), 1)
