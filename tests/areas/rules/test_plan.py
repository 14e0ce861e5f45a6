"""A plan written as JSON and read back is the same."""

from __future__ import annotations

import json
from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from areas.rules.homes import MONDAY, area, plan, task
from coach.areas.rules.model import DetailTask
from coach.areas.rules.plan import Declutter, Plan, Way, plan_from_values, plan_values
from coach.areas.rules.rotation import Mode, Rotation
from coach.ground.weeks import WeekStart

TURNS = st.integers(0, 60)
ROTATIONS = st.builds(
    Rotation,
    areas=st.just(2),
    start=st.dates(),
    mode=st.sampled_from(Mode),
    starts=st.sampled_from(WeekStart),
    first=st.integers(1, 2),
    minutes_a_week=st.integers(1, 1440),
    skipped=st.frozensets(TURNS, max_size=3),
    swapped=st.lists(st.tuples(TURNS, TURNS), max_size=3).map(tuple),
)
TASKS = st.builds(
    DetailTask,
    id=st.sampled_from(["t1", "t2", "t3"]),
    title=st.text(min_size=1),
    minutes=st.integers(1, 1440),
    every_days=st.none() | st.integers(1, 3660),
    caution=st.none() | st.just("ladder"),
    source=st.none() | st.text(min_size=1),
)


@given(
    rotation=ROTATIONS,
    one=TASKS,
    way=st.sampled_from(Way),
    declutter=st.none() | st.builds(Declutter, TURNS, st.integers(1, 520)),
)
def test_a_plan_comes_back_as_it_was(
    rotation: Rotation, one: DetailTask, way: Way, declutter: Declutter | None
) -> None:
    areas = (area("bath", one, declutter=(task("t9"),)), area("hall"))
    whole = Plan(MONDAY, areas, rotation, way, 15, declutter)
    assert plan_from_values(json.loads(json.dumps(plan_values(whole))), MONDAY) == whole


def test_the_date_stands_beside_the_plan() -> None:
    later = MONDAY.replace(day=20)
    assert plan_from_values(plan_values(plan()), later) == replace(plan(), since=later)


def test_a_plan_with_all_it_can_hold_comes_back_as_it_was() -> None:
    tasks = DetailTask("mat", "Mat", 5, 30, "ladder", "the trade"), DetailTask("lamp", "Lamp", 10)
    rotation = Rotation(2, MONDAY, Mode.MONTH, WeekStart.SUNDAY, 2, 45, frozenset({3, 1}), ((0, 1), (2, 5)))
    areas = (area("bath", *tasks, declutter=(task("box"),)), area("hall"))
    whole = Plan(MONDAY, areas, rotation, Way.SPOT, 20, Declutter(4, 6))
    assert plan_from_values(json.loads(json.dumps(plan_values(whole))), MONDAY) == whole
