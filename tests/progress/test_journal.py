"""The log made ready for the fold."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest

from coach.errors import Malformed
from coach.progress.journal import Version, journal
from coach.progress.log import Mark, What, marks_by_date
from progress.living import a_course, on, row, start

if TYPE_CHECKING:
    from coach.progress.log import Row

OLD, NEW = a_course("bed"), a_course("bed", "cups")


def test_the_last_mark_of_a_date_and_step_holds() -> None:
    rows = [row(2, "kept", "bed"), row(3, "small", "bed"), row(2, "missed", "bed"), row(2, "kept", "cups")]
    assert marks_by_date(rows) == {
        on(2): {"bed": Mark.MISSED, "cups": Mark.KEPT},
        on(3): {"bed": Mark.SMALL},
    }


def test_a_mark_taken_back_is_gone_until_it_is_set_again() -> None:
    taken = [row(2, "kept", "bed"), row(2, "clear", "bed")]
    assert marks_by_date(taken) == {on(2): {}}
    assert marks_by_date([*taken, row(2, "excused", "bed")]) == {on(2): {"bed": Mark.EXCUSED}}
    assert marks_by_date([row(2, "clear", "bed")]) == {on(2): {}}


def test_rows_that_are_no_marks_leave_marks_alone() -> None:
    assert marks_by_date([*start(), row(2, "pause"), row(2, "next", "bed")]) == {}


def test_decisions_lie_by_date_and_within_it_as_written() -> None:
    rows = [row(5, "pause"), *start(), row(2, "next", "cups"), row(5, "resume"), row(2, "kept", "bed")]
    book = journal([Version(date.min, OLD)], rows)
    assert [(entry.date, entry.what) for entry in book.decisions] == [
        (on(2), What.NEXT),
        (on(5), What.PAUSE),
        (on(5), What.RESUME),
    ]


def test_a_day_applies_what_came_due_since_the_last_one_folded() -> None:
    rows = [*start(), row(2, "next", "bed"), row(3, "pause"), row(4, "resume"), row(5, "minutes")]
    book = journal([Version(date.min, OLD)], rows)
    applied = book.decisions_between(on(2), on(4))
    assert [(entry.what, entry.date) for entry in applied] == [(What.PAUSE, on(4)), (What.RESUME, on(4))]
    assert [entry.what for entry in book.decisions_between(None, on(2))] == [What.NEXT]


def test_the_first_start_written_is_the_start() -> None:
    first, second = row(3, "start", "bed"), row(1, "start", "cups")
    assert journal([Version(date.min, NEW)], [first, second]).start_row() == first


def test_a_log_without_a_start_says_so() -> None:
    with pytest.raises(Malformed, match="no start row"):
        journal([Version(date.min, OLD)], [row(1, "kept", "bed")]).start_row()


def test_each_version_of_a_course_holds_from_its_date() -> None:
    book = journal([Version(on(1), OLD), Version(on(4), NEW)], start())
    assert [book.course_on(on(day)) is NEW for day in (0, 1, 3, 4, 9)] == [False, False, False, True, True]


@pytest.mark.parametrize(
    "later",
    [
        [],
        [row(2, "small", "bed"), row(6, "kept", "bed")],
        [row(2, "clear", "bed")],
        [row(3, "pause"), row(1, "minutes", value="5"), row(4, "next", "cups")],
        [row(2, "kept", "cups"), row(2, "resume")],
    ],
)
def test_rows_written_later_stand_as_if_the_log_had_been_read_with_them(later: list[Row]) -> None:
    rows = [*start(), row(2, "kept", "bed"), row(4, "resume"), row(3, "kept", "bed"), row(3, "minutes")]
    versions = [Version(date.min, OLD)]
    earlier = journal(versions, rows)
    before = dict(earlier.marks)
    assert earlier.with_rows(later) == journal(versions, [*rows, *later])
    assert earlier.marks == before


def test_a_start_written_later_is_no_decision() -> None:
    assert journal([Version(date.min, OLD)], start()).with_rows(start("bed")).decisions == ()
