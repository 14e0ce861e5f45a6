"""What desk work promises: every due is seen on a desk-work day in time, or at once if none comes in time."""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import replace
from datetime import date, time, timedelta
from itertools import pairwise
from typing import TYPE_CHECKING

from hypothesis import given
from hypothesis import strategies as st

from coach.desk.rules.dues import Due, Told, between, is_desk_day, listed, standing
from coach.desk.rules.repeating import dates_of
from desk.rules.telling import told_before

if TYPE_CHECKING:
    from coach.desk.rules.dues import DeskDays

FIRST = date(2027, 1, 1)
DAYS = 120
RULES = ["FREQ=WEEKLY", "FREQ=MONTHLY;BYMONTHDAY=6,20", "FREQ=YEARLY", "FREQ=DAILY;INTERVAL=9"]

days = st.integers(0, DAYS).map(lambda ahead: FIRST + timedelta(days=ahead))
desks = st.lists(days, unique=True, max_size=20).map(sorted)
dues = st.builds(
    Due,
    id=st.sampled_from(["water", "rent", "tax"]),
    name=st.just("Water"),
    on=days,
    entered=days,
    repeats=st.sampled_from([None, None, *RULES]),
    needs=st.sampled_from([3, 3, 0, 1, 10, 40]),
    at=st.sampled_from([None, time(9, 30), time(17)]),
)


def asking(desk: list[date]) -> DeskDays:
    return lambda after: desk[place] if (place := bisect_left(desk, after)) < len(desk) else None


def shown(due: Due, day: date, desk: DeskDays) -> set[date]:
    """The dates of a due that a day lists, where nothing about the desk-work days was changed."""
    return {one.on for one in listed([due], (), day, desk, told_before(day, desk))}


def dates(due: Due) -> list[date]:
    last = FIRST + timedelta(days=DAYS + 45)
    return [due.on] if due.repeats is None else list(dates_of(due.repeats, due.on, due.on, last))


@given(dues, desks)
def test_every_due_is_listed_in_time_or_at_once(due: Due, desk: list[date]) -> None:
    every = [FIRST + timedelta(days=ahead) for ahead in range(-1, DAYS + 60)]
    seen = {day: shown(due, day, asking(desk)) for day in every}
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
    later = [one for one in desk if one > day]
    if shown(due, day, asking(desk)) and later and not is_desk_day(day, asking(desk)):
        assert not any(due.entered <= one <= day for one in desk)


@given(dues, desks, days)
def test_what_is_seen_to_is_never_listed(due: Due, desk: list[date], day: date) -> None:
    seen_to = {(due.id, one.on) for one in listed([due], (), day, asking(desk))}
    assert listed([due], seen_to, day, asking(desk)) == ()


# What is planned changes: from some dates on there is another plan of desk-work days.

rhythms = st.tuples(st.integers(0, 13), st.sampled_from([5, 7, 14, 28])).map(
    lambda rhythm: [FIRST + timedelta(days=ahead) for ahead in range(rhythm[0], DAYS, rhythm[1])]
)
plans = st.lists(st.tuples(days, st.one_of(rhythms, desks)), min_size=2, max_size=8).map(
    lambda changes: sorted([(FIRST, changes[0][1]), *changes], key=lambda one: one[0])
)
early = dues.map(lambda due: replace(due, entered=min(due.entered, FIRST + timedelta(days=20))))


def planned(changes: list[tuple[date, list[date]]], day: date) -> list[date]:
    """The desk-work days as they are planned on a day, by what was decided last."""
    return next((desk for since, desk in reversed(changes) if since <= day), [])


def last_told(changes: list[tuple[date, list[date]]], day: date) -> Told | None:
    """What the latest desk-work day before a day told, which is as it was planned on it."""
    for back in range(1, (day - FIRST).days + 1):
        before = day - timedelta(days=back)
        desk = planned(changes, before)
        if before in desk:
            following = [one for one in desk if one > before]
            return Told(before, following[0] if following else before + timedelta(days=366))
    return None


@given(early, plans)
def test_whatever_happens_to_desk_work_no_latest_comfortable_date_goes_by_unlisted(
    due: Due, changes: list[tuple[date, list[date]]]
) -> None:
    listed_once: set[date] = set()
    for day in (FIRST + timedelta(days=ahead) for ahead in range(DAYS)):
        desk = planned(changes, day)
        found = listed([due], (), day, asking(desk), last_told(changes, day))
        listed_once |= {one.on for one in found}
        later = [one for one in desk if one > day]
        # Until the next desk-work day, or today if none is known, it has to have been in somebody's sight.
        until = later[0] if later else day + timedelta(days=1)
        for on in dates(due):
            if due.entered <= day and on - timedelta(days=due.needs) < until:
                assert on in listed_once


@given(dues, plans, days)
def test_a_day_that_is_none_lists_nothing_that_the_last_desk_day_told(
    due: Due, changes: list[tuple[date, list[date]]], day: date
) -> None:
    desk, told = planned(changes, day), last_told(changes, day)
    if told is None or day in desk or not any(one > day for one in desk):
        return
    for one in listed([due], (), day, asking(desk), told):
        assert due.entered > told.on or one.comfortable >= told.before


# On its own date.


@given(st.lists(dues, max_size=4, unique_by=lambda due: due.id), days, st.randoms(use_true_random=False))
def test_every_due_stands_on_its_date_and_on_every_day_after_until_it_is_seen_to(
    several: list[Due], until: date, choose: st.DataObject
) -> None:
    seen_to: set[tuple[str, date]] = set()
    for day in (FIRST + timedelta(days=ahead) for ahead in range((until - FIRST).days + 1)):
        expected = {
            (due.id, on)
            for due in several
            for on in dates(due)
            if on <= day and due.entered <= day and (due.id, on) not in seen_to
        }
        found = standing(several, seen_to, day)
        assert {(one.due.id, one.on) for one in found} == expected
        assert len(found) == len(expected)
        seen_to |= {one for one in sorted(expected) if choose.random() < 0.2}  # type: ignore[attr-defined]  # a Random


@given(st.lists(dues, max_size=4, unique_by=lambda due: due.id), days, st.integers(0, 10))
def test_the_week_tells_each_due_once_on_its_own_date_by_its_time(
    several: list[Due], first: date, length: int
) -> None:
    last = first + timedelta(days=length)
    found = between(several, (), first, first, last)
    assert sorted((one.due.id, one.on) for one in found) == sorted(
        (due.id, on) for due in several for on in dates(due) if first <= on <= last
    )
    moments = [(one.on, one.due.at or time.min) for one in found]
    assert moments == sorted(moments)
