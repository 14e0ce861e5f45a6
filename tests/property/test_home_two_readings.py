"""Rotation and passes agree with a second, slow reading of the home rules, written apart from them."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from coach.areas.rules.forecast import forecast
from coach.areas.rules.kept_passes import passes_from_json, passes_json
from coach.areas.rules.passes import (
    Opening,
    begin,
    close_week,
    open_on,
    open_week,
    spot_task,
)
from coach.areas.rules.rotation import number_of, turn_of, turns
from coach.ground.weeks import WEEK
from property import plain_home, plain_need
from property.home_of import book_of, rotation_of
from property.home_strategies import WEEKS, absences, cases, homes

MODES = ("continuous", "month", "need")
Case = tuple[dict[str, Any], dict[date, list[str]], set[date]]


def as_lists(opening: Opening) -> list[dict[str, Any]]:
    return [
        {
            "area": int(one.area.id),
            "minutes": one.minutes,
            "listed": [left.task.id for left in one.listed],
            "if_time": [left.task.id for left in one.if_time],
        }
        for one in opening.areas
    ]


@settings(max_examples=200)
@given(homes(most_areas=12).flatmap(lambda home: st.tuples(st.just(home), absences(home["start"]))))
def test_every_week_of_any_rotation_is_the_same_in_both_readings(
    case: tuple[dict[str, Any], set[date]],
) -> None:
    home, away = case
    rotation = rotation_of(home)
    ours = list(turns(rotation, rotation.first_week, 0, WEEKS, away.__contains__))
    assert [(turn.week, list(turn.areas), list(turn.minutes), turn.catch_up) for turn in ours] == [
        (week[0], areas, minutes, catch_up)
        for week, areas, minutes, catch_up in plain_home.turns(home, WEEKS, away)
    ]
    for turn in ours:
        number = number_of(rotation, turn.week, away.__contains__)
        assert turn_of(rotation, turn.week, number, away.__contains__) == turn


@settings(max_examples=200)
@given(cases())
def test_the_lists_of_every_week_are_the_same_in_both_readings(case: Case) -> None:
    home, done, away = case
    book = book_of(home, done, away)
    passes = begin(book)
    for lists in plain_home.lists(home, done, WEEKS, away):
        opening = open_week(passes, book)
        assert as_lists(opening) == lists
        for ahead in range(7):
            day = opening.week + timedelta(days=ahead)
            ours = spot_task(opening, done, day)
            theirs = None if home["way"] == "list" else plain_home.spot(home, done, lists, day)
            assert (ours.task.id if ours else None) == theirs
        close_week(passes, opening, book)


@settings(max_examples=200)
@given(cases("need"))
def test_by_need_the_lists_of_every_week_are_the_same_in_both_readings(case: Case) -> None:
    home, done, away = case
    book = book_of(home, done, away)
    passes = begin(book)
    for lists in plain_need.lists(home, done, 3 * WEEKS, away):
        opening = open_week(passes, book)
        assert as_lists(opening) == lists
        close_week(passes, opening, book)


@settings(max_examples=100)
@given(cases("need"), st.integers(0, WEEKS - 1))
def test_by_need_the_weeks_to_come_are_the_same_in_both_readings(case: Case, lived: int) -> None:
    home, done, away = case
    book = book_of(home, done, away)
    passes = begin(book)
    open_on(passes, book, book.plans[0].rotation.first_week + lived * WEEK)
    ours = [as_lists(opening) for opening in forecast(passes, book, 12)]
    assert ours == plain_need.forecast(home, done, lived, 12, away)


@given(cases(*MODES), st.integers(0, WEEKS - 1), st.integers(0, WEEKS - 1))
def test_from_any_kept_state_the_lists_are_those_from_nothing(case: Case, kept: int, asked: int) -> None:
    book = book_of(*case)
    first = book.plans[0].rotation.first_week
    passes = begin(book)
    open_on(passes, book, first + min(kept, asked) * WEEK)
    again = passes_from_json(passes_json(passes))
    day = first + asked * WEEK
    assert open_on(again, book, day) == open_on(begin(book), book, day)


@given(cases(*MODES), st.integers(0, WEEKS - 1))
def test_what_is_marked_later_changes_no_earlier_list(case: Case, asked: int) -> None:
    home, done, away = case
    day = home["start"] + asked * WEEK
    with_all = open_on(begin(book_of(*case)), book_of(*case), day)
    earlier = book_of(home, {on: tasks for on, tasks in done.items() if on < with_all.week}, away)
    assert open_on(begin(earlier), earlier, day) == with_all
