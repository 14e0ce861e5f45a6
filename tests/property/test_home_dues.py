"""What desk work promises: every due is seen on a desk-work day in time, or at once if it came too late."""

from __future__ import annotations

from bisect import bisect_left
from datetime import date, timedelta
from itertools import pairwise
from typing import TYPE_CHECKING

from hypothesis import given
from hypothesis import strategies as st

from coach.desk.rules.dues import Due, is_desk_day, listed
from coach.desk.rules.repeating import dates_of

if TYPE_CHECKING:
    from coach.desk.rules.dues import DeskDays

FIRST = date(2027, 1, 1)
DAYS = 120
RULES = ["FREQ=WEEKLY", "FREQ=MONTHLY;BYMONTHDAY=6,20", "FREQ=YEARLY", "FREQ=DAILY;INTERVAL=9"]

days = st.integers(0, DAYS).map(lambda ahead: FIRST + timedelta(days=ahead))
desks = st.lists(days, unique=True, max_size=20).map(sorted)
dues = st.builds(
    Due,
    id=st.just("water"),
    name=st.just("Water"),
    on=days,
    entered=days,
    repeats=st.sampled_from([None, None, *RULES]),
    needs=st.sampled_from([3, 3, 0, 1, 10, 40]),
)


def asking(desk: list[date]) -> DeskDays:
    return lambda after: desk[place] if (place := bisect_left(desk, after)) < len(desk) else None


def dates(due: Due) -> list[date]:
    last = FIRST + timedelta(days=DAYS + 45)
    return [due.on] if due.repeats is None else list(dates_of(due.repeats, due.on, due.on, last))


@given(dues, desks)
def test_every_due_is_listed_in_time_or_at_once(due: Due, desk: list[date]) -> None:
    every = [FIRST + timedelta(days=ahead) for ahead in range(-1, DAYS + 60)]
    seen = {day: {one.on for one in listed([due], (), day, asking(desk))} for day in every}
    for on in dates(due):
        comfortable = on - timedelta(days=due.needs)
        in_time = [day for day in desk if due.entered <= day <= comfortable]
        if in_time:
            assert any(on in seen[day] for day in in_time)
        elif desk and due.entered <= desk[-1]:
            # The first desk-work day since comes after its latest comfortable date.
            assert on in seen[due.entered]
        else:
            assert on in seen[max(due.entered, comfortable)]


@given(dues, desks)
def test_a_desk_day_lists_exactly_what_cannot_wait_for_the_next(due: Due, desk: list[date]) -> None:
    for day, following in pairwise(desk):
        expected = [
            on for on in dates(due) if due.entered <= day and on - timedelta(days=due.needs) < following
        ]
        assert [one.on for one in listed([due], (), day, asking(desk))] == expected


@given(dues, desks, days)
def test_another_day_lists_only_what_was_entered_since_the_last_desk_day(
    due: Due, desk: list[date], day: date
) -> None:
    shown = listed([due], (), day, asking(desk))
    later = [one for one in desk if one > day]
    if shown and later and not is_desk_day(day, asking(desk)):
        assert not any(due.entered <= one <= day for one in desk)


@given(dues, desks, days)
def test_what_is_dealt_with_is_never_listed(due: Due, desk: list[date], day: date) -> None:
    settled = {("water", one.on) for one in listed([due], (), day, asking(desk))}
    assert listed([due], settled, day, asking(desk)) == ()
