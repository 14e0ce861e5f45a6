"""The first division of a home: how many areas, rooms of one use side by side, areas as even as can be."""

from __future__ import annotations

from itertools import combinations, count, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.areas.rules.choosing import VISITS
from coach.areas.rules.model import all_tasks
from coach.areas.rules.packing import visits
from coach.areas.rules.proposal import (
    RESERVED,
    Division,
    Room,
    area_of,
    cuts,
    free_id,
    how_many,
    in_a_row,
    in_room,
    name_of,
    proposed,
)
from coach.course.rooms import RoomKind, RoomTask, Use
from coach.errors import Malformed


def kind(kind_id: str, minutes: int, use: Use | None = None) -> RoomKind:
    tasks = tuple(RoomTask(f"Task {number} of {kind_id}", 5) for number in range(minutes // 5))
    return RoomKind(kind_id, kind_id.title(), (kind_id,), tasks, tasks[:1], use)


BATH, TOILET, KITCHEN, BED, SHED = KINDS = (
    kind("bath", 160, Use.WET),
    kind("toilet", 80, Use.WET),
    kind("kitchen", 240, Use.WET),
    kind("bed", 160, Use.SLEEPING),
    kind("shed", 80),
)
MINUTES = 40


def division(*rooms: Room, areas: int | None = None, minutes: int = MINUTES) -> Division:
    numbers = count(1)
    return proposed(rooms, KINDS, lambda: f"t{next(numbers)}", areas, minutes)


def divided(*rooms: Room, areas: int | None = None, minutes: int = MINUTES) -> list[tuple[str, ...]]:
    return [area.rooms for area in division(*rooms, areas=areas, minutes=minutes).areas]


def rooms(*kinds: RoomKind | None) -> list[Room]:
    return [Room(f"{one.title if one else 'Chapel'} {place}", one) for place, one in enumerate(kinds)]


HOMES = st.lists(st.sampled_from([*KINDS, None]), min_size=1, max_size=14).map(lambda made: rooms(*made))
WEEKLY = st.integers(10, 120)


def test_rooms_stand_by_the_order_of_the_kinds_and_those_of_one_use_side_by_side() -> None:
    row = in_a_row(rooms(SHED, None, BED, TOILET, KITCHEN, BATH), KINDS)
    assert [room.kind.id if room.kind else None for room in row] == [
        "bath", "toilet", "kitchen", "bed", "shed", None
    ]  # fmt: skip
    apart = (BED, BATH, SHED, KITCHEN)
    row = in_a_row(rooms(KITCHEN, SHED, BATH, BED), apart)
    assert [room.kind.id for room in row if room.kind] == ["bed", "bath", "kitchen", "shed"]


def test_a_home_has_as_many_areas_as_its_lists_fill_four_turns() -> None:
    assert divided(*rooms(BATH, BED)) == [("Bath 0",), ("Bed 1",)]
    assert divided(*rooms(TOILET, TOILET)) == [("Toilet 0", "Toilet 1")]
    assert len(divided(*rooms(*[BATH] * 7))) == 7
    assert len(divided(*rooms(*[BATH] * 7), minutes=80)) == 4
    assert len(divided(*rooms(*[BATH] * 40))) == 12


def test_a_list_longer_than_four_turns_weighs_no_more_than_those() -> None:
    assert how_many(rooms(KITCHEN, TOILET, TOILET), MINUTES) == 2
    assert divided(*rooms(KITCHEN, TOILET, TOILET)) == [("Toilet 1", "Toilet 2"), ("Kitchen 0",)]


def test_wet_rooms_share_an_area_where_sizes_allow() -> None:
    assert divided(*rooms(BED, TOILET, SHED, TOILET)) == [("Toilet 1", "Toilet 3"), ("Bed 0",), ("Shed 2",)]


def test_a_household_can_have_another_number_and_is_told_what_the_minutes_make() -> None:
    found = division(*rooms(BATH, BED, KITCHEN), areas=1)
    assert (len(found.areas), found.by_minutes) == (1, 3)


@given(home=HOMES, minutes=WEEKLY)
def test_the_number_is_one_of_two_around_the_minutes_and_the_nearer_to_four_turns(
    home: list[Room], minutes: int
) -> None:
    """Looked at anew: every division into so many parts, the cheapest one, and how far it is off."""
    row, full, most = in_a_row(home, KINDS), VISITS * minutes, min(len(home), 12)
    weights = [min(room.minutes, full) or minutes for room in row]

    def off(number: int) -> float:
        strange = [one.use != other.use for one, other in pairwise(row)]
        parts = pairwise(cuts(weights, strange, number, (2 * minutes) ** 2))
        return sum(abs(sum(weights[first:last]) - full) for first, last in parts) / number

    found = how_many(row, minutes)
    assert 1 <= found <= most
    around = {min(most, max(1, number)) for number in (sum(weights) // full, sum(weights) // full + 1)}
    assert found in around
    assert off(found) == min(map(off, around))


@given(home=HOMES, minutes=WEEKLY)
def test_no_list_takes_more_than_four_turns_and_every_task_is_kept_once_in_its_order(
    home: list[Room], minutes: int
) -> None:
    for area in division(*home, minutes=minutes).areas:
        assert visits([task.minutes for task in area.detail], minutes) <= VISITS
        by_id = sorted((*area.detail, *area.suggestions), key=lambda task: int(task.id[1:]))
        starters = [
            (room.name, task.title)
            for name in area.rooms
            for room in home
            if room.name == name and room.kind
            for task in room.kind.detail
        ]
        said = [in_room(title, room) if len(area.rooms) > 1 else title for room, title in starters]
        assert [task.title for task in by_id] == said
        assert list(area.detail) == [task for task in by_id if task in area.detail]


@given(home=HOMES, minutes=WEEKLY)
def test_nothing_suggested_would_still_have_fitted(home: list[Room], minutes: int) -> None:
    for area in division(*home, minutes=minutes).areas:
        for task in area.suggestions:
            more = sorted((*area.detail, task), key=lambda one: int(one.id[1:]))
            assert visits([one.minutes for one in more], minutes) > VISITS


def test_every_room_comes_once_and_no_two_tasks_have_one_id() -> None:
    named = rooms(KITCHEN, BATH, BED, TOILET, SHED, None)
    areas = division(*named, areas=3).areas
    assert sorted(room for area in areas for room in area.rooms) == sorted(room.name for room in named)
    ids = [task.id for task in all_tasks(areas)]
    assert len(ids) == len(set(ids)) == sum(room.minutes for room in named) // 5 + 5


def test_an_area_of_several_rooms_says_the_room_of_each_task() -> None:
    pair, single = area_of(rooms(TOILET, SHED), (), lambda: "t"), area_of(rooms(BATH), (), lambda: "t")
    assert {task.title.partition(": ")[0] for task in all_tasks([pair])} == {"Toilet 0", "Shed 1"}
    assert pair.detail[0].title == "Toilet 0: Task 0 of toilet"
    assert single.detail[0].title == "Task 0 of bath"


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
    assert cuts([2, 1, 2], [False, False], 2, 0) == [0, 1, 3]


def test_an_id_keeps_to_forty_letters() -> None:
    assert free_id("x" * 60, ()) == "x" * 40


@given(
    weights=st.lists(st.integers(1, 400), min_size=1, max_size=8),
    strange=st.lists(st.booleans(), min_size=7, max_size=7),
    parts=st.integers(1, 8),
    strangers_cost=st.integers(0, 20_000),
)
def test_no_other_cuts_cost_less(
    weights: list[int], strange: list[bool], parts: int, strangers_cost: int
) -> None:
    parts = min(parts, len(weights))
    strangers = strange[: len(weights) - 1]

    def cost(places: list[int]) -> int:
        return sum(
            sum(weights[first:last]) ** 2 + strangers_cost * sum(strangers[first : last - 1])
            for first, last in pairwise(places)
        )

    found = cuts(weights, strangers, parts, strangers_cost)
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
