"""The first division of a home: rooms that belong together side by side, areas as even as can be."""

from __future__ import annotations

from itertools import combinations, count, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.areas.rules.proposal import (
    RESERVED,
    STRANGERS_COST,
    Room,
    cuts,
    free_id,
    in_a_row,
    name_of,
    proposed,
)
from coach.course.rooms import RoomKind, RoomTask


def kind(kind_id: str, minutes: int, beside: str | None = None) -> RoomKind:
    task = RoomTask(f"Task of {kind_id}", minutes)
    return RoomKind(kind_id, kind_id.title(), (kind_id,), (task,), (task,), beside)


KITCHEN, BATH, BED, TOILET, PANTRY = KINDS = (
    kind("kitchen", 200),
    kind("bath", 150),
    kind("bed", 150),
    kind("toilet", 100, beside="bath"),
    kind("pantry", 100, beside="kitchen"),
)


def divided(*rooms: Room, areas: int | None = None) -> list[tuple[str, ...]]:
    numbers = count(1)
    return [area.rooms for area in proposed(rooms, KINDS, lambda: f"t{next(numbers)}", areas)]


def rooms(*kinds: RoomKind | None) -> list[Room]:
    return [Room(f"{one.title if one else 'Chapel'} {place}", one) for place, one in enumerate(kinds)]


def test_rooms_that_belong_together_come_side_by_side_and_unknown_ones_last() -> None:
    row = in_a_row(rooms(PANTRY, None, BED, TOILET, KITCHEN, BATH), KINDS)
    assert [room.kind.id if room.kind else None for room in row] == [
        "kitchen", "pantry", "bath", "toilet", "bed", None
    ]  # fmt: skip


def test_up_to_five_rooms_are_areas_of_their_own() -> None:
    assert divided(*rooms(TOILET, PANTRY, None)) == [("Pantry 1",), ("Toilet 0",), ("Chapel 2",)]


def test_more_rooms_share_areas_by_belonging_and_minutes() -> None:
    assert divided(*rooms(KITCHEN, BATH, BED, TOILET, PANTRY, BED), areas=4) == [
        ("Kitchen 0", "Pantry 4"), ("Bath 1", "Toilet 3"), ("Bed 2",), ("Bed 5",)
    ]  # fmt: skip


def test_a_large_home_has_at_most_twelve_areas() -> None:
    assert len(divided(*rooms(*[KITCHEN] * 40))) == 12


def test_every_room_and_every_task_comes_once() -> None:
    numbers = count(1)
    named = rooms(KITCHEN, BATH, BED, TOILET, PANTRY, None)
    areas = proposed(named, KINDS, lambda: f"t{next(numbers)}", 3)
    assert sorted(room for area in areas for room in area.rooms) == sorted(room.name for room in named)
    ids = [task.id for area in areas for task in (*area.detail, *area.declutter)]
    assert len(ids) == len(set(ids)) == 10


@given(
    weights=st.lists(st.integers(1, 400), min_size=1, max_size=8),
    strange=st.lists(st.booleans(), min_size=7, max_size=7),
    parts=st.integers(1, 8),
)
def test_no_other_cuts_cost_less(weights: list[int], strange: list[bool], parts: int) -> None:
    parts = min(parts, len(weights))
    strangers = strange[: len(weights) - 1]

    def cost(places: list[int]) -> int:
        return sum(
            sum(weights[first:last]) ** 2 + STRANGERS_COST * sum(strangers[first : last - 1])
            for first, last in pairwise(places)
        )

    found = cuts(weights, strangers, parts)
    every = ([0, *inner, len(weights)] for inner in combinations(range(1, len(weights)), parts - 1))
    assert len(found) == parts + 1
    assert cost(found) == min(map(cost, every))


@pytest.mark.parametrize(
    ("named", "said"),
    [
        (["Bath"], "Bath"),
        (["Bath", "Toilet"], "Bath and Toilet"),
        (["Bath", "Toilet", "Hall"], "Bath, Toilet and Hall"),
        (["Entrance and hall", "Stairs"], "Entrance and hall, Stairs"),
        (["Bath", "Toilet", "Hall", "Den"], "Bath, Toilet and 2 more"),
        (["x" * 70, "y" * 20], "x" * 68 + " and more"),
    ],
)
def test_an_area_is_named_after_its_rooms(named: list[str], said: str) -> None:
    assert name_of(named) == said


@given(name=st.text(max_size=100), taken=st.sets(st.sampled_from(["area", "bath", "area-2", "week"])))
def test_an_id_is_plain_free_and_nobody_elses_address(name: str, taken: set[str]) -> None:
    found = free_id(name, taken)
    assert found not in taken | RESERVED
    assert found.replace("-", "").isalnum()
    assert found.isascii()
    assert found == found.lower()
