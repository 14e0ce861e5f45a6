"""What a log holds, and what stands in one of two logs alone."""

from __future__ import annotations

from coach.progress.comparison import Contents, Only, contents, only
from progress.living import on, row, start

LOG = [
    row(3, "kept", "bed"),
    *start(),
    row(2, "kept", "bed"),
    row(2, "small", "cups"),
    row(4, "kept", "bed"),
    row(4, "clear", "bed"),
    row(9, "pause"),
]


def test_a_log_is_told_by_its_rows_its_marks_that_hold_and_its_dates() -> None:
    assert contents(LOG) == Contents(rows=7, days=2, marks=3, steps=2, first=on(1), last=on(9))


def test_an_empty_log_holds_nothing() -> None:
    assert contents([]) == Contents(rows=0, days=0, marks=0, steps=0, first=None, last=None)


def test_what_one_log_has_alone_is_counted_as_often_as_the_other_lacks_it() -> None:
    more = [*LOG, row(9, "pause"), row(6, "missed", "bed"), row(5, "clear", "cups"), row(5, "clear", "cups")]
    assert only(more, LOG) == Only(rows=4, marks=3, days=(on(5), on(6)))
    assert only(LOG, more) == Only(rows=0, marks=0, days=())
