"""What if: each change beside the present dates, tried from today on and with nothing written."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.habits import pauses, steps
from coach.habits.forecasting import forecast
from coach.habits.what_if import what_if
from coach.household import pace
from habits.forecasting import dates, lived, misses_every
from habits.house import HOME, House
from progress.living import a_course, a_step, on

if TYPE_CHECKING:
    from coach.habits.forecast_answers import Change, WhatIf


def asked(house: House) -> WhatIf:
    return what_if(house.context, HOME)


def change(house: House, name: str) -> Change:
    return next(one for one in asked(house).changes if one.change == name)


def test_the_present_dates_are_those_of_the_path_and_nothing_is_written() -> None:
    house = lived(12)
    before = house.store.version(HOME)
    found = asked(house)
    assert found.present == forecast(house.context, HOME).span
    assert [one.change for one in found.changes] == ["gentler", "fewer", "day-off"]
    assert house.store.version(HOME) == before
    assert {one.span.seed for one in found.changes} == {found.present.seed}


def test_each_change_says_the_dates_that_it_would_bring_if_it_were_made() -> None:
    house, other, third = lived(12), lived(12), lived(12)
    gentler, fewer, off = asked(house).changes
    pace.choose(house.context, HOME, "gentle")
    assert forecast(house.context, HOME).span == gentler.span
    for choice in fewer.choices:
        steps.set_aside(other.context, HOME, choice.step or "")
    assert forecast(other.context, HOME).span == fewer.span
    for week in range(60):
        day = 15 + 7 * week  # a Monday
        pauses.pause(third.context, HOME, on(day), on(day))
    assert off.title == "Mondays off"
    assert forecast(third.context, HOME).span == off.span


def test_a_gentler_pace_and_a_day_off_take_longer_and_fewer_steps_less_long() -> None:
    found = asked(lived(12))
    _, present, _, _ = dates(found.present)
    gentler, fewer, off = (dates(one.span)[1] for one in found.changes)
    assert fewer < present < gentler
    assert off > present


def test_two_steps_fewer_are_the_last_two_that_have_not_come_and_the_page_names_them() -> None:
    found = change(lived(12), "fewer")
    assert found.title == "Two steps fewer"
    assert found.means.startswith("Set aside from today on: The lamp and The door.")
    assert [choice.step for choice in found.choices] == ["lamp", "door"]


def test_with_one_step_to_come_there_is_one_fewer_and_with_none_no_such_change() -> None:
    bed, cups = (a_step(name, settles={"kept": 20, "of": 30}) for name in ("bed", "cups"))
    two, one = (lived(12, house=House(a_course(*found)).begun("bed")) for found in ((bed, cups), (bed,)))
    assert change(two, "fewer").title == "One step fewer"
    assert "fewer" not in {found.change for found in asked(one).changes}


def test_at_the_gentlest_pace_there_is_none_gentler() -> None:
    house = lived(12)
    pace.choose(house.context, HOME, "gentle")
    assert [one.change for one in asked(house).changes] == ["fewer", "day-off"]


def test_where_everything_was_kept_no_weekday_stands_out() -> None:
    assert [one.change for one in asked(lived(12, misses_every(99))).changes] == ["gentler", "fewer"]


def test_the_day_off_is_the_weekday_on_which_the_smallest_share_was_kept() -> None:
    house = lived(15, lambda day: day % 7 not in {3, 5} or day == 3)
    found = change(house, "day-off")
    assert found.title == "Fridays off"
    assert "So far 0 of 3 lines were kept on them" in found.means


def test_a_day_off_leaves_a_planned_absence_as_it_is() -> None:
    house = lived(12)
    pauses.pause(house.context, HOME, on(14), on(60))
    found = asked(house)
    spans = [found.present, *(one.span for one in found.changes)]
    assert all(dates(span)[0] > on(60) for span in spans)


def test_where_no_date_can_be_said_there_is_nothing_to_compare() -> None:
    assert asked(lived(3)).changes == ()
    house = lived(12)
    pauses.pause(house.context, HOME, on(20))
    assert asked(house).changes == ()
    assert asked(lived(12).at(24)).changes == ()


def test_where_a_year_is_not_enough_the_changes_are_tried_all_the_same() -> None:
    found = asked(lived(40, misses_every(1)))
    assert found.present.cannot_say == "too-far"
    assert "fewer" in {one.change for one in found.changes}
