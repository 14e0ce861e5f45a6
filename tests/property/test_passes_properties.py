"""What passes promise: each goes through every task exactly once, in order, whatever comes between."""

from __future__ import annotations

from collections import Counter, defaultdict
from datetime import date, timedelta
from itertools import pairwise
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from coach.areas.rules.enough import coverage
from coach.areas.rules.packing import fitting
from coach.areas.rules.passes import Book, begin, close_week, open_week
from coach.areas.rules.rotation import Mode
from coach.ground.weeks import days_of
from property.home_of import book_of, plan_of, rotation_of
from property.home_strategies import absences, cases, homes

WEEKS = 60
Home = dict[str, Any]
interrupted = homes(every=False).flatmap(lambda home: st.tuples(st.just(home), absences(home["start"])))


def live(home: Home, away: set[date], share: float = 1) -> tuple[dict[str, list[list[str]]], Book]:
    """Do the first part of every list, or all of it, in weeks at home: the tasks done, by area and pass."""
    done: dict[date, list[str]] = {}
    book = book_of(home, done, away)
    passes = begin(book)
    through: defaultdict[str, list[list[str]]] = defaultdict(lambda: [[]])
    for _ in range(WEEKS):
        opening = open_week(passes, book)
        at_home = [day for day in days_of(opening.week) if day not in away]
        for one in opening.areas:
            if one.new_pass:
                through[one.area.id].append([])
            count = max(1, int(len(one.listed) * share)) if at_home else 0
            tasks = [left.task.id for left in one.listed[:count]]
            through[one.area.id][-1] += tasks
            if tasks:
                done.setdefault(at_home[-1], []).extend(tasks)
        close_week(passes, opening, book)
    return through, book


@given(interrupted, st.sampled_from([1, 0.5]))
def test_a_pass_does_each_task_once_in_order_and_absences_skip_none(
    case: tuple[Home, set[date]], share: float
) -> None:
    home = {**case[0], "way": "list"}
    through, book = live(home, case[1], share)
    for area in book.plans[0].areas:
        whole = [task.id for task in area.detail]
        *finished, current = through[area.id]
        assert all(tasks == whole for tasks in finished)
        assert current == whole[: len(current)]


@settings(max_examples=100)
@given(homes(every=False))
def test_the_table_says_how_long_a_pass_takes(home: Home) -> None:
    home = {**home, "mode": "continuous", "way": "list"}
    _, book = live(home, set())
    passes = begin(book)
    began: defaultdict[str, list[date]] = defaultdict(list)
    for _ in range(WEEKS):
        opening = open_week(passes, book)
        for one in opening.areas:
            if one.new_pass or not began[one.area.id]:
                began[one.area.id].append(opening.week)
        close_week(passes, opening, book)
    for row in coverage(book.plans[0].areas, rotation_of(home), home["start"]):
        weeks = [(later - earlier).days // 7 for earlier, later in pairwise(began[row.area.id])]
        assert set(weeks) <= {row.weeks}


@given(homes(every=False))
def test_by_month_the_table_says_how_long_the_pass_that_begins_now_takes(home: Home) -> None:
    # As many areas as a month has weeks, so that no catch-up week comes between.
    home = {**home, "mode": "month", "way": "list", "first": 1, "areas": (home["areas"] * 5)[:5]}
    home["areas"] = [
        [{**task, "id": f"{place}{task['id']}"} for task in tasks]
        for place, tasks in enumerate(home["areas"])
    ]
    plan = plan_of(home)
    assert plan.rotation.mode is Mode.MONTH
    _, book = live(home, set())
    passes = begin(book)
    began: dict[str, date] = {}
    lasted: dict[str, int] = {}
    for _ in range(WEEKS):
        opening = open_week(passes, book)
        for one in opening.areas:
            first = began.setdefault(one.area.id, opening.week)
            if one.new_pass:
                lasted.setdefault(one.area.id, (opening.week - first).days // 7)
        close_week(passes, opening, book)
    for row in coverage(plan.areas, plan.rotation, plan.rotation.first_week):
        if row.area.id in lasted:
            assert lasted[row.area.id] == row.weeks
        else:
            assert row.weeks == 0 or row.weeks > WEEKS - 9


@given(cases())
def test_no_task_is_listed_sooner_than_its_days_allow(
    case: tuple[Home, dict[date, list[str]], set[date]],
) -> None:
    home, done, away = case
    book = book_of(home, done, away)
    passes = begin(book)
    for _ in range(WEEKS // 2):
        opening = open_week(passes, book)
        for one in opening.areas:
            for left in one.left:
                latest = passes.last_done.get(left.task.id)
                days = left.task.every_days
                if latest is not None and days is not None:
                    assert latest + timedelta(days=days) <= opening.last_day
        close_week(passes, opening, book)


@given(cases())
def test_every_task_of_the_area_stands_on_one_of_its_lists_or_is_done_in_the_pass(
    case: tuple[Home, dict[date, list[str]], set[date]],
) -> None:
    book = book_of(*case)
    passes = begin(book)
    for _ in range(WEEKS // 2):
        opening = open_week(passes, book)
        for one in opening.areas:
            shown = Counter(left.task.id for left in (*one.listed, *one.if_time, *one.held_back))
            done = set() if one.new_pass else passes.in_pass
            assert shown == Counter(task.id for task in one.area.detail if task.id not in done)
        close_week(passes, opening, book)


@given(st.lists(st.integers(1, 100), max_size=12), st.integers(1, 100))
def test_a_list_is_as_long_as_it_can_be_and_never_longer_than_the_minutes_unless_alone(
    minutes: list[int], most: int
) -> None:
    count = fitting(minutes, most)
    assert sum(minutes[:count]) <= most or count == 1
    assert count == len(minutes) or sum(minutes[: count + 1]) > most
    assert bool(count) is bool(minutes)
