"""What is saved for a coach day by day, going on from kept standings, is what the whole log gives."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import islice

from hypothesis import given, settings
from hypothesis import strategies as st

from coach.coaching.invented import homes
from coach.coaching.library import find_course
from coach.coaching.rules.following import Saved, saved_through
from coach.coaching.rules.resuming import SETTLED_BY, saved_from
from coach.progress.journal import Journal, Version, journal
from coach.progress.log import MARKING
from coach.progress.replay import begin, close_through
from property.as_tables import as_course, as_rows
from property.log_strategies import Case, cases


def in_order(saved: Saved | None) -> Saved | None:
    return saved and Saved(saved.followed, tuple(sorted(saved.spells, key=lambda one: one.step)))


def after(book: Journal, day: date) -> Journal:
    """The part of a log that is read beside a standing."""
    marks = {on: marks for on, marks in book.marks.items() if on > day}
    return Journal(book.versions, marks, None, tuple(row for row in book.decisions if row.date > day))


@settings(max_examples=max(20, settings().max_examples // 2))
@given(cases(), st.integers(1, 8), st.integers(0, 8), st.sampled_from([0, SETTLED_BY]))
def test_days_saved_one_after_another_are_those_of_the_whole_log(
    case: Case, later: int, earlier: int, unseen: int
) -> None:
    rows, versions = as_rows(case.rows), [Version(date.min, as_course(case.course))]
    last = case.until - timedelta(days=1)
    saved_on = last - timedelta(days=later)
    kept_on = saved_on - timedelta(days=SETTLED_BY + earlier)
    whole = journal(versions, rows)
    # What was saved had not seen the marks that came afterwards.
    known = saved_on - timedelta(days=unseen)
    seen = [row for row in rows if not unseen or row.what not in MARKING or row.date <= known]
    kept = saved_through(journal(versions, seen), saved_on)
    state = begin(whole)
    close_through(state, whole, kept_on)
    if kept is None or state.through is None:
        return
    found = saved_from(state, kept, after(whole, state.through), last)
    assert found is None or in_order(found) == in_order(saved_through(whole, last))


def test_invented_homes_are_gone_on_with_from_day_to_day() -> None:
    course, today = find_course("three-weeks"), date(2027, 3, 4)
    versions, resumed = [Version(date.min, course)], 0
    for home in islice(homes(course, today), 40):
        book = journal(versions, home.log)
        state = begin(book)
        close_through(state, book, today - timedelta(days=2 + SETTLED_BY))
        kept, last = saved_through(book, today - timedelta(days=2)), today - timedelta(days=1)
        if kept is None or state.through is None:
            continue
        found = saved_from(state, kept, after(book, state.through), last)
        assert found is None or in_order(found) == in_order(saved_through(book, last))
        resumed += found is not None
    assert resumed >= 30
