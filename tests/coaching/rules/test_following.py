"""What is saved of a household beside its spells: phases by week, the last mark, days a list was due."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from coach.coaching.rules.following import Saved, saved_through, sunday_before
from coach.progress.journal import Version, journal
from progress.living import a_course, days, marks, on, row, start

if TYPE_CHECKING:
    from coach.progress.log import Row

COURSE = a_course("bed", "desk")


def saved(rows: list[Row], through: int) -> Saved:
    found = saved_through(journal([Version(date.min, COURSE)], rows), on(through))
    assert found is not None
    return found


def test_a_week_is_said_once_it_is_over() -> None:
    rows = [*start(), *marks("kept", days(1, 10), "bed", "desk")]
    assert saved(rows, 6).followed.weeks == ()
    assert saved(rows, 7).followed.weeks == ("steady",)
    assert saved(rows, 20).followed.weeks == ("steady", "steady")
    assert saved(rows, 21).followed.weeks == ("steady", "steady", "lapsed")


def test_days_since_the_last_mark_are_counted_while_a_list_was_due() -> None:
    rows = [*start(), *marks("kept", [1, 2], "bed")]
    assert (saved(rows, 2).followed.last_mark, saved(rows, 2).followed.due_since) == (on(2), 0)
    assert saved(rows, 6).followed.due_since == 4
    assert saved(rows, 30).followed.due_since == 7
    paused = [*rows, row(4, "pause", value=str(on(5)))]
    assert saved(paused, 6).followed.due_since == 2


def test_without_a_mark_they_are_counted_from_the_start() -> None:
    found = saved(start(), 3).followed
    assert (found.last_mark, found.due_since, found.started_on) == (None, 3, on(1))


def test_how_a_spell_stood_on_sunday_is_kept_until_the_next_is_over() -> None:
    rows = [*start(), *marks("kept", days(1, 20), "bed", "desk")]
    tuesday, sunday = saved(rows[:3], 9), saved(rows[:3], 14)
    assert {one.step: (one.sunday_days, one.sunday_ending) for one in tuesday.spells} == {
        "bed": (7, "open"),
        "desk": (7, "open"),
    }
    assert {one.sunday_days for one in sunday.spells} == {9}
    assert {one.sunday_ending for one in sunday.spells} == {"lapsed"}


def test_a_spell_that_began_after_sunday_is_not_in_its_counts() -> None:
    rows = [*start(), *marks("kept", [9], "desk")]
    late = {one.step: one for one in saved(rows, 9).spells}["desk"]
    assert (late.days, late.sunday_days, late.sunday_ending) == (1, 0, "open")


def test_a_sunday_is_the_last_day_of_a_week() -> None:
    assert sunday_before(date(2027, 1, 10)) == date(2027, 1, 10)
    assert sunday_before(date(2027, 1, 16)) == date(2027, 1, 10)
    assert sunday_before(date.min) == date.min
