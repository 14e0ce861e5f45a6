"""What turns by need promise: of equal areas none starves, whatever is done and whatever is not."""

from __future__ import annotations

import random
from datetime import date, timedelta
from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from coach.areas.rules.model import Area, DetailTask
from coach.areas.rules.passes import Book, begin, close_week, open_week
from coach.areas.rules.plan import Plan
from coach.areas.rules.rotation import MOST_AREAS, Mode, Rotation

MONDAY = date(2027, 1, 4)
TEN_YEARS = 522
tasks = st.tuples(st.integers(1, 120), st.none() | st.integers(1, 30) | st.integers(1, 3660))
equal_lists = st.lists(tasks, max_size=6)


def lived(plan: Plan, weeks: int, share: float, seed: int, away: set[int]) -> list[str]:
    """The areas that had their turns in so many weeks, those away left out; a share of each list is done."""
    luck = random.Random(seed)  # noqa: S311  luck of a test
    done: dict[date, list[str]] = {}
    gone = {plan.rotation.first_week + timedelta(days=7 * week + day) for week in away for day in range(7)}
    book, served = Book((plan,), done, gone.__contains__), []
    passes = begin(book)
    for _ in range(weeks):
        opening = open_week(passes, book)
        if not opening.turn.waits:
            (one,) = opening.areas
            served.append(one.area.id)
            ticked = [left.task.id for left in one.listed if luck.random() < share]
            done[opening.week + timedelta(days=luck.randrange(7))] = ticked
        close_week(passes, opening, book)
        done.clear()
    return served


def alike(count: int, listed: list[tuple[int, int | None]], minutes: int) -> Plan:
    """So many areas with equal lists, by need."""
    areas = tuple(
        Area(
            f"a{place}",
            f"Area {place}",
            detail=tuple(
                DetailTask(f"a{place}-{number}", "A task", taken, days)
                for number, (taken, days) in enumerate(listed)
            ),
        )
        for place in range(count)
    )
    return Plan(MONDAY, areas, Rotation(count, MONDAY, Mode.NEED, minutes_a_week=minutes))


@settings(max_examples=60, deadline=None)
@given(
    st.integers(1, MOST_AREAS),
    equal_lists,
    st.integers(1, 120),
    st.sampled_from([0, 0.3, 0.7, 1]),
    st.integers(0, 2**32),
    st.sets(st.integers(0, TEN_YEARS - 1), max_size=60),
)
def test_over_ten_years_each_of_equal_areas_has_a_turn_in_twice_as_many_weeks_as_there_are_areas(
    count: int,
    listed: list[tuple[int, int | None]],
    minutes: int,
    share: float,
    seed: int,
    away: set[int],
) -> None:
    served = lived(alike(count, listed, minutes), TEN_YEARS, share, seed, away)
    most = 2 * count
    for place in range(count):
        turns = [-1, *(week for week, area in enumerate(served) if area == f"a{place}"), len(served)]
        assert max(later - earlier for earlier, later in pairwise(turns)) <= most


@settings(max_examples=30, deadline=None)
@given(st.integers(2, MOST_AREAS), st.integers(1, 40), st.none() | st.integers(1, 14), st.integers(0, 2**32))
def test_equal_areas_whose_lists_are_done_take_turns_in_their_order(
    count: int, minutes: int, days: int | None, seed: int
) -> None:
    served = lived(alike(count, [(minutes, days)], 40), 100, 1, seed, set())
    assert served == [f"a{week % count}" for week in range(100)]


@given(st.integers(2, MOST_AREAS), st.sampled_from([0, 0.5, 1]), st.integers(0, 2**32))
def test_no_area_has_two_turns_in_a_row_if_there_are_others(count: int, share: float, seed: int) -> None:
    plan = alike(count, [(10, 7), (25, None), (40, 30)], 40)
    assert all(one != other for one, other in pairwise(lived(plan, 60, share, seed, set())))


def test_beside_large_areas_the_greatest_need_alone_decides() -> None:
    large = [Area(f"a{place}", "Large", detail=_hours(place)) for place in range(3)]
    hall = Area("hall", "Hall", detail=(DetailTask("mat", "The mat", 1),))
    plan = Plan(MONDAY, (*large, hall), Rotation(4, MONDAY, Mode.NEED))
    assert "hall" not in lived(plan, TEN_YEARS, 1, 0, set())


def _hours(place: int) -> tuple[DetailTask, ...]:
    return tuple(DetailTask(f"a{place}-{number}", "A task", 40) for number in range(9))
