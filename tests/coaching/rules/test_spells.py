"""Spells: from a step's introduction to its first end, in household days."""

from __future__ import annotations

import json
from datetime import date
from typing import TYPE_CHECKING

import pytest

from coach.coaching.rules.following import Saved, saved_through
from coach.coaching.rules.spells import LEFT_AFTER
from coach.progress.journal import Version, journal
from progress.living import a_course, a_step, days, marks, on, row, start

if TYPE_CHECKING:
    from coach.progress.log import Row

COURSE = a_course("bed", a_step("desk", after=["bed"]))
KEPT = [*start(), *marks("kept", days(1, 3), "bed")]
"""The bed settles on day 2, the desk comes on day 3; from day 4 on nothing is marked."""


def saved(rows: list[Row], through: int, *later: Version) -> Saved:
    book = journal([Version(date.min, COURSE), *later], rows)
    found = saved_through(book, on(through))
    assert found is not None
    return found


def spells(rows: list[Row], through: int) -> dict[str, tuple[int, str]]:
    return {one.step: (one.days, one.ending) for one in saved(rows, through).spells}


def test_the_day_of_introduction_is_day_1_and_a_step_settles_at_a_close() -> None:
    assert spells(KEPT, 1) == {"bed": (1, "open")}
    assert spells(KEPT, 3) == {"bed": (2, "settled"), "desk": (1, "open")}


def test_no_closed_day_leaves_nothing_to_save() -> None:
    assert saved_through(journal([Version(date.min, COURSE)], KEPT), on(0)) is None


def test_a_step_that_is_set_aside_ends_on_that_day() -> None:
    rows = [*KEPT, row(6, "set-aside", "desk"), row(9, "restore", "desk")]
    assert spells(rows, 5)["desk"] == (3, "open")
    assert spells(rows, 20)["desk"] == (4, "set aside")


def test_one_that_is_set_aside_before_it_came_has_no_spell() -> None:
    assert spells([*KEPT, row(2, "set-aside", "desk")], 20).keys() == {"bed"}


def test_the_first_step_set_aside_on_the_day_of_the_start_was_introduced_all_the_same() -> None:
    assert spells([*start(), row(1, "set-aside", "bed")], 1)["bed"] == (1, "set aside")


def test_a_step_that_has_settled_is_ended_by_nothing_later() -> None:
    rows = [*KEPT, row(5, "set-aside", "bed")]
    assert spells(rows, 60)["bed"] == (2, "settled")


def test_a_step_introduced_by_a_mark_begins_a_spell() -> None:
    assert spells([*start(), *marks("kept", [1], "desk")], 1) == {"bed": (1, "open"), "desk": (1, "open")}


def test_a_lapse_ends_what_is_open_on_the_first_day_that_opens_lapsed() -> None:
    # Days 4 to 10 are empty, so that the household is lapsed from day 11 on.
    assert spells(KEPT, 10)["desk"] == (8, "open")
    found = saved(KEPT, 11)
    assert (found.spells[1].days, found.spells[1].ending, found.spells[1].ended_on) == (9, "lapsed", on(11))
    assert found.followed.phase == "lapsed"


def test_a_lapse_comes_before_what_is_decided_for_its_first_day() -> None:
    assert spells([*KEPT, row(11, "set-aside", "desk")], 11)["desk"] == (9, "lapsed")


def test_who_comes_back_on_the_day_it_would_have_been_away_has_lapsed_all_the_same() -> None:
    assert spells([*KEPT, *marks("kept", [11], "desk")], 11)["desk"] == (9, "lapsed")


def test_a_pause_in_place_of_the_first_lapsed_day_ends_nothing() -> None:
    rows = [*KEPT, row(11, "pause", value=str(on(12)))]
    assert spells(rows, 12)["desk"] == (8, "open")


def test_after_a_return_a_spell_stays_ended() -> None:
    rows = [*KEPT, *marks("kept", days(12, 20), "desk", "bed")]
    assert spells(rows, 20)["desk"] == (9, "lapsed")
    assert saved(rows, 20).spells[1].settled_on is not None


def test_after_28_days_without_a_mark_those_who_lapsed_have_left_as_of_the_lapse() -> None:
    assert spells(KEPT, 11 + LEFT_AFTER - 2)["desk"] == (9, "lapsed")
    found = saved(KEPT, 11 + LEFT_AFTER - 1).spells[1]
    assert (found.days, found.ending, found.ended_on) == (9, "left", on(11))


@pytest.mark.parametrize(("day", "ending"), [(38, "lapsed"), (39, "left")])
def test_a_mark_within_28_days_is_a_return_and_one_later_is_not(day: int, ending: str) -> None:
    assert spells([*KEPT, *marks("kept", [day], "bed")], 90)["desk"] == (9, ending)


def test_paused_days_after_a_lapse_do_not_make_a_household_leave() -> None:
    rows = [*KEPT, row(20, "pause", value=str(on(49)))]
    assert spells(rows, 60)["desk"] == (9, "lapsed")
    assert spells(rows, 68)["desk"] == (9, "left")


def test_paused_days_are_not_counted() -> None:
    rows = [*KEPT, row(4, "pause", value=str(on(13)))]
    assert spells(rows, 13)["desk"] == (1, "open")
    assert spells(rows, 14)["desk"] == (2, "open")


def test_a_step_set_aside_on_a_paused_day_had_the_days_before_it() -> None:
    rows = [*KEPT, row(4, "pause", value=str(on(13))), row(8, "set-aside", "desk")]
    assert spells(rows, 13)["desk"] == (1, "set aside")


def test_a_date_that_never_happened_is_no_day() -> None:
    zone, first = "Pacific/Apia", date(2011, 12, 29)
    rows = [row(1, "zone", value=zone), *start()]
    moved = [type(one)(first, one.what, one.step, one.value) for one in rows]
    found = saved_through(journal([Version(date.min, COURSE)], moved), date(2011, 12, 31))
    assert found is not None
    assert found.spells[0].days == 2


def test_what_a_household_added_itself_has_no_spell() -> None:
    added = row(1, "add", "ours", json.dumps({"title": "Ours"}))
    assert spells([*start(), added, *marks("kept", [1], "ours")], 1).keys() == {"bed"}


def test_a_step_goes_on_under_its_new_name_with_the_version_it_began_in() -> None:
    renamed = Version(on(5), a_course("bed", a_step("table", after=["bed"], formerly=["desk"])))
    found = saved([*KEPT, *marks("kept", days(4, 7), "desk")], 4, renamed)
    later = saved([*KEPT, *marks("kept", days(5, 7), "table")], 7, renamed)
    assert (found.spells[1].step, later.spells[1].step) == ("desk", "table")
    assert found.spells[1].digest == later.spells[1].digest == COURSE.digest


def test_how_a_step_stands_now_is_said_beside_its_end() -> None:
    now = saved([*KEPT, row(5, "set-aside", "bed")], 8).spells
    assert [(one.state, one.settled_on, one.outcomes) for one in now] == [
        ("set-aside", on(2), 4),
        ("practising", None, 6),
    ]
