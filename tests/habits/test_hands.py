"""Whether a mark takes the place of another one: what was seen, when it was tapped, and whose it is."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from coach.ground.rows import Signed
from coach.habits.hands import AHEAD, Tap, Verdict, Wanted, verdict
from coach.progress.log import Mark, What

NOON = datetime(2027, 1, 25, 12, tzinfo=UTC)
MINUTE = timedelta(minutes=1)


def row(by: str = "ben", what: What = What.KEPT, version: int | None = 7, at: datetime = NOON) -> Signed:
    return Signed(NOON.date(), "bed", what, by, at, version)


def kept_over(last: Signed | None, tap: Tap, by: str = "ana", mark: Mark | None = Mark.SMALL) -> Verdict:
    """What becomes of Ana's mark where Ben marked the line kept, unless another row is given."""
    stands = None if last is None or last.what is What.CLEAR else Mark(last.what)
    return verdict(Wanted(mark, stands, by), last, tap)


@pytest.mark.parametrize(
    ("last", "seen", "found"),
    [
        (row(), 6, Verdict.CLASH),
        (row(what=What.CLEAR), 6, Verdict.CLASH),
        (row(), 7, Verdict.WRITTEN),
        (row(by="ana"), 6, Verdict.WRITTEN),
        (row(by=""), 6, Verdict.CLASH),
        (row(version=None), 6, Verdict.WRITTEN),
        (row(what=What.SMALL), 6, Verdict.STANDS),
        (None, 6, Verdict.WRITTEN),
    ],
)
def test_a_mark_that_has_not_seen_another_ones_newer_row_is_not_written(
    last: Signed | None, seen: int, found: Verdict
) -> None:
    assert kept_over(last, Tap(seen_version=seen)) is found


def test_the_household_alone_has_not_seen_what_somebody_with_a_name_marked() -> None:
    assert kept_over(row(), Tap(seen_version=6), by="") is Verdict.CLASH
    assert kept_over(row(by=""), Tap(seen_version=6), by="") is Verdict.WRITTEN


@pytest.mark.parametrize(
    ("last", "minutes", "found"),
    [
        (row(), -1, Verdict.CLASH),
        (row(), 1, Verdict.WRITTEN),
        (row(), 0, Verdict.WRITTEN),
        (row(by="ana"), -1, Verdict.STANDS),
        (row(by="ana"), 1, Verdict.WRITTEN),
        (row(what=What.SMALL), -1, Verdict.STANDS),
        (row(what=What.SMALL), 0, Verdict.STANDS),
        (row(what=What.SMALL), 1, Verdict.WRITTEN),
        (None, -1, Verdict.WRITTEN),
    ],
)
def test_the_latest_tap_holds(last: Signed | None, minutes: int, found: Verdict) -> None:
    assert kept_over(last, Tap(tapped_at=NOON + minutes * MINUTE)) is found


def test_a_mark_taken_back_is_written_down_before_the_mark_it_takes_back_has_come() -> None:
    assert kept_over(None, Tap(tapped_at=NOON), mark=None) is Verdict.WRITTEN
    cleared = row(by="ana", what=What.CLEAR)
    assert kept_over(cleared, Tap(tapped_at=NOON - MINUTE)) is Verdict.STANDS
    assert kept_over(None, Tap(), mark=None) is Verdict.STANDS


def test_a_clock_may_be_five_minutes_ahead_and_no_more() -> None:
    ahead, further = Tap(tapped_at=NOON + AHEAD), Tap(3, NOON + AHEAD + MINUTE)
    assert ahead.at(NOON) == ahead
    assert further.at(NOON) == Tap(3, NOON)


@pytest.mark.parametrize(
    ("tap", "version", "members", "asks"),
    [
        (Tap(), 9, 2, False),
        (Tap(9), 9, 2, False),
        (Tap(8), 9, 2, True),
        (Tap(8), 9, 0, False),
        (Tap(tapped_at=NOON), 9, 0, True),
    ],
)
def test_who_marked_is_asked_only_where_it_can_matter(
    tap: Tap, version: int, members: int, *, asks: bool
) -> None:
    assert tap.asks(version, members) is asks
