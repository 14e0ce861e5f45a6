"""What the area rotation promises: every area has its turn, and absences only delay it."""

from __future__ import annotations

from collections import Counter, defaultdict
from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.areas.rules.model import Area
from coach.areas.rules.plan import Plan
from coach.areas.rules.replanning import redivided
from coach.areas.rules.rotation import (
    MINUTES_A_WEEK,
    MOST_AREAS,
    Mode,
    Rotation,
    Turn,
    a_round,
    number_of,
    shares,
    turn_of,
    turns,
)
from coach.ground.weeks import WEEK, WeekStart, place_in_month
from property.home_strategies import absences, starts

FOUR_HUNDRED_YEARS = 20_871  # weeks: after 146,097 days the Gregorian calendar begins anew


@pytest.mark.parametrize("week_start", WeekStart)
@pytest.mark.parametrize("areas", range(1, MOST_AREAS + 1))
def test_over_400_years_every_month_serves_every_area_and_no_week_is_left_over(
    areas: int, week_start: WeekStart
) -> None:
    # The first day of a month's first week, for weeks of either kind: 1 January 2001 was a Monday.
    rotation = Rotation(areas, date(2001, 1, 1), Mode.MONTH, week_start)
    served: defaultdict[tuple[int, int], list[int]] = defaultdict(list)
    for turn in turns(rotation, rotation.first_week, 0, FOUR_HUNDRED_YEARS):
        assert turn.catch_up is not bool(turn.areas)
        assert sum(turn.minutes) == (0 if turn.catch_up else MINUTES_A_WEEK)
        place = place_in_month(turn.week)
        served[place.year, place.month] += turn.areas
    assert len(served) == 4800
    assert all(sorted(found) == list(range(1, areas + 1)) for found in served.values())


@given(st.integers(1, 1440), st.integers(1, MOST_AREAS))
def test_the_minutes_of_a_shared_week_add_up(minutes: int, among: int) -> None:
    split = shares(minutes, among)
    assert sum(split) == minutes
    assert len(set(split[1:])) <= 1
    assert 0 <= split[0] - min(split) < among


def counted(found: list[Turn]) -> list[int]:
    """The areas of the weeks that counted, in order."""
    return [area for turn in found if not turn.waits for area in turn.areas]


@given(st.integers(1, MOST_AREAS), st.data())
def test_interrupted_turns_skip_no_area(areas: int, data: st.DataObject) -> None:
    start = data.draw(starts)
    first = data.draw(st.integers(1, areas))
    away = data.draw(absences(start))
    rotation = Rotation(areas, start, first=first)
    found = list(turns(rotation, rotation.first_week, 0, 60, away.__contains__))
    served = counted(found)
    assert served == [(first - 1 + place) % areas + 1 for place in range(len(served))]
    for turn, following in pairwise(found):
        if turn.waits:
            assert following.areas == turn.areas
    for turn in found:
        days = {turn.week + timedelta(days=ahead) for ahead in range(7)}
        assert turn.waits is (days <= away)


@given(st.integers(2, MOST_AREAS), st.data())
def test_swapped_and_interrupted_turns_skip_no_area_either(areas: int, data: st.DataObject) -> None:
    start = data.draw(starts)
    away = data.draw(absences(start))
    number = st.integers(0, 20)
    swaps = data.draw(st.lists(st.tuples(number, number), max_size=5))
    rotation = Rotation(areas, start, swapped=tuple(swaps))
    rounds = 24 * areas
    served = counted(list(turns(rotation, rotation.first_week, 0, rounds + 30, away.__contains__)))
    assert set(Counter(served[:rounds]).values()) == {24}


@given(
    st.integers(1, MOST_AREAS),
    # By need it follows from what was done whose turn it is, and from nothing that a rotation knows.
    st.sampled_from([Mode.CONTINUOUS, Mode.MONTH]),
    st.sampled_from(WeekStart),
    starts,
    st.integers(0, 60),
)
def test_a_round_is_the_least_that_serves_every_area(
    areas: int, mode: Mode, week_start: WeekStart, start: date, number: int
) -> None:
    rotation = Rotation(areas, start, mode, week_start)
    found = list(turns(rotation, rotation.first_week, 0, number + 40))[number:]
    taken = a_round(rotation, number)
    assert set(counted(found[:taken])) == set(range(1, areas + 1))
    assert set(counted(found[: taken - 1])) != set(range(1, areas + 1))


@given(st.integers(1, MOST_AREAS), starts, st.lists(st.integers(1, 9), max_size=6), st.data())
def test_areas_that_come_and_go_disturb_no_other_ones_turn(
    count: int, start: date, edits: list[int], data: st.DataObject
) -> None:
    areas = tuple(Area(f"a{place}", f"Area {place}") for place in range(count))
    plan = Plan(start, areas, Rotation(count, start))
    week = plan.rotation.first_week
    for edit, weeks in enumerate(edits):
        before = [_on_turn(plan, week + ahead * WEEK) for ahead in range(weeks)]
        assert before == _in_order(plan.areas, before[0], weeks)
        week += weeks * WEEK
        turn = turn_of(plan.rotation, week, number_of(plan.rotation, week))
        following = _in_order(plan.areas, _on_turn(plan, week), len(plan.areas))
        changed = _edited(plan.areas, f"b{edit}", data)
        plan = redivided(plan, changed, week + timedelta(days=2), turn)
        still_there = [area for area in following if area in {one.id for one in changed}]
        assert _on_turn(plan, week) == (still_there or [changed[0].id])[0]


def _edited(areas: tuple[Area, ...], new: str, data: st.DataObject) -> tuple[Area, ...]:
    """Take one area out or put a new one in, somewhere."""
    place = data.draw(st.integers(0, len(areas) - 1))
    more = len(areas) < MOST_AREAS and (len(areas) == 1 or data.draw(st.booleans()))
    return (*areas[:place], Area(new, new), *areas[place:]) if more else areas[:place] + areas[place + 1 :]


def _on_turn(plan: Plan, week: date) -> str:
    (place,) = turn_of(plan.rotation, week, number_of(plan.rotation, week)).areas
    return plan.areas[place - 1].id


def _in_order(areas: tuple[Area, ...], first: str, count: int) -> list[str]:
    names = [area.id for area in areas]
    place = names.index(first)
    return [names[(place + ahead) % len(names)] for ahead in range(count)]
