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
    area_of,
    cuts,
    free_id,
    in_a_row,
    in_room,
    name_of,
    proposed,
)
from coach.course.rooms import RoomKind, RoomTask
from coach.errors import Malformed


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


def test_a_home_has_an_area_for_every_four_hours_begun() -> None:
    assert len(divided(*rooms(*[KITCHEN] * 10))) == 9


def test_a_large_home_has_at_most_twelve_areas() -> None:
    assert len(divided(*rooms(*[KITCHEN] * 40))) == 12


def test_every_room_and_every_task_comes_once() -> None:
    numbers = count(1)
    named = rooms(KITCHEN, BATH, BED, TOILET, PANTRY, None)
    areas = proposed(named, KINDS, lambda: f"t{next(numbers)}", 3)
    assert sorted(room for area in areas for room in area.rooms) == sorted(room.name for room in named)
    ids = [task.id for area in areas for task in (*area.detail, *area.declutter)]
    assert len(ids) == len(set(ids)) == 10


def test_an_area_of_several_rooms_says_the_room_of_each_task() -> None:
    numbers = count(1)
    pair, single = area_of(rooms(KITCHEN, PANTRY), (), lambda: "t"), area_of(rooms(BATH), (), lambda: "t")
    assert [task.title for task in pair.detail] == ["Kitchen 0: Task of kitchen", "Pantry 1: Task of pantry"]
    assert [task.title for task in single.detail] == ["Task of bath"]
    both = RoomKind("den", "Den", ("den",), (RoomTask("Dust", 5),), (RoomTask("Sort", 9),))
    den = area_of([Room("Den", both)], (), lambda: f"t{next(numbers)}")
    assert [task.title for task in (*den.detail, *den.declutter)] == ["Dust", "Sort"]


def test_a_room_is_left_out_of_a_title_it_would_make_too_long() -> None:
    assert in_room("x" * 195, "Den") == "Den: " + "x" * 195
    assert in_room("x" * 196, "Den") == "x" * 196


@pytest.mark.parametrize(
    ("named", "areas", "said"),
    [
        ([], None, "No room is named"),
        ([BATH] * 61, None, "These are 61 rooms"),
        ([BATH], 2, "One room makes one area, not 2"),
        ([BATH, BED], 3, "2 rooms make 1 to 2 areas, not 3"),
        ([BATH, BED], 0, "not 0"),
        ([BATH] * 20, 13, "20 rooms make 1 to 12 areas, not 13"),
    ],
)
def test_a_home_that_cannot_be_divided_so_is_told_why(
    named: list[RoomKind | None], areas: int | None, said: str
) -> None:
    with pytest.raises(Malformed, match=said):
        divided(*rooms(*named), areas=areas)


def test_of_equal_divisions_the_one_that_cuts_earlier_is_taken() -> None:
    assert cuts([2, 1, 2], [False, False], 2) == [0, 1, 3]


def test_an_id_keeps_to_forty_letters() -> None:
    assert free_id("x" * 60, ()) == "x" * 40


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
        (["x" * 37, "y" * 38], "x" * 37 + " and " + "y" * 38),
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
