"""A job moved comes on the day chosen and not on the old one, and from then on as often as before."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

from hypothesis import assume, given
from hypothesis import strategies as st

from coach.course.recurrence import falls, next_fall, rule_fault
from coach.course.rule import WEEKDAYS, rule_of
from coach.ground.weeks import WeekStart, days_of, week_of
from coach.week.rules.moving import moved

FOUR_INTERVALS = 7 * 6 * 4

intervals = st.integers(1, 6)
weekdays = st.sampled_from(WEEKDAYS)
week_starts = st.sampled_from(("", *(f";WKST={weekday}" for weekday in WEEKDAYS)))
weekly = st.builds("FREQ=WEEKLY;INTERVAL={};BYDAY={}{}".format, intervals, weekdays, week_starts)
two_days = st.builds(
    "FREQ=WEEKLY;INTERVAL={};BYDAY={},{}{}".format, st.integers(2, 6), weekdays, weekdays, week_starts
)
# Of the places in a month, and of its dates, those that every month has.
places = st.sampled_from((1, 2, 3, 4, -1, -2, -3, -4))
by_weekday = st.builds("FREQ=MONTHLY;INTERVAL={};BYDAY={}{}".format, intervals, places, weekdays)
by_date = st.builds("FREQ=MONTHLY;INTERVAL={};BYMONTHDAY={}".format, intervals, st.integers(1, 28))


@dataclass(frozen=True)
class Move:
    """A job of a rule, introduced on `start`, that falls on `day` and is moved to `to`."""

    rule: str
    start: date
    day: date
    to: date

    @property
    def moved(self) -> str | None:
        return moved(self.rule, self.start, self.day, self.to)

    @property
    def interval(self) -> int:
        return rule_of(self.rule).interval


@st.composite
def moves(draw: st.DrawFn, rules: st.SearchStrategy[str]) -> Move:
    """Moves within weeks of the household, whichever day those of the rule begin on."""
    rule, start = draw(rules), draw(st.dates(date(2026, 1, 1), date(2028, 12, 31)))
    day = following(rule, start, start - timedelta(days=1))
    for _ in range(draw(st.integers(0, 12))):
        day = following(rule, start, day)
    to = draw(st.sampled_from(days_of(week_of(day, draw(st.sampled_from(WeekStart))))))
    assume(to != day)
    return Move(rule, start, day, to)


def following(rule: str, start: date, after: date) -> date:
    found = next_fall(rule, start, after)
    assert found is not None
    return found


def dates_from(rule: str, start: date, first: date) -> list[date]:
    """The first five dates on which a rule falls, from one of them on."""
    assert falls(rule, start, first)
    days = [first]
    while len(days) < 5:
        days.append(following(rule, start, days[-1]))
    return days


def months_between(one: date, later: date) -> int:
    return (later.year - one.year) * 12 + later.month - one.month


def comes_every_so_many_months(move: Move, new: str | None) -> None:
    assert new is not None
    assert rule_fault(new, may_begin=True) is None
    assert not falls(new, move.start, move.day)
    first = move.to if move.to >= move.start else following(new, move.start, move.start)
    assert months_between(move.to, first) % move.interval == 0
    dates = dates_from(new, move.start, first)
    assert {months_between(one, later) for one, later in pairwise(dates)} == {move.interval}


@given(moves(weekly))
def test_a_weekly_job_moved_comes_on_the_day_chosen_and_every_so_many_weeks_from_there(move: Move) -> None:
    new = move.moved
    assert new is not None
    assert rule_fault(new, may_begin=True) is None
    assert not falls(new, move.start, move.day)
    apart = timedelta(weeks=move.interval)
    dates = dates_from(new, move.start, move.to if move.to >= move.start else move.to + apart)
    assert {later - one for one, later in pairwise(dates)} == {apart}


@given(moves(by_weekday))
def test_a_monthly_job_moved_comes_on_the_day_chosen_and_every_so_many_months_from_there(move: Move) -> None:
    comes_every_so_many_months(move, move.moved)


@given(moves(by_date))
def test_a_job_of_a_date_moved_comes_on_the_date_chosen_and_every_so_many_months_from_there(
    move: Move,
) -> None:
    if move.to.day > 28:
        assert move.moved is None
    else:
        comes_every_so_many_months(move, move.moved)


@given(moves(two_days))
def test_a_job_of_two_days_moved_keeps_the_other_one_where_it_was(move: Move) -> None:
    new = move.moved
    if new is None:
        return
    days = [move.start + timedelta(days=ahead) for ahead in range(FOUR_INTERVALS)]
    before = {on for on in days if falls(move.rule, move.start, on) and on.weekday() != move.day.weekday()}
    after = {on for on in days if falls(new, move.start, on) and on.weekday() != move.to.weekday()}
    assert before == after
    assert move.to < move.start or falls(new, move.start, move.to)


@given(moves(weekly))
def test_a_job_moved_there_and_back_comes_when_it_came(move: Move) -> None:
    there = move.moved
    assume(move.to >= move.start)
    assert there is not None
    back = moved(there, move.start, move.to, move.day)
    assert back is not None
    assert "DTSTART" not in back
    assert dates_from(back, move.start, move.day) == dates_from(move.rule, move.start, move.day)
