"""The plan of the home: blocks that fill their rectangle, each room in its area, every name in its box."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from coach.areas.rules.floor import LETTER, MOST_LINES, WIDTH, Block, floor

NAMES = st.text("abcdef ", min_size=1, max_size=60).filter(str.strip)
AREAS = st.lists(st.tuples(NAMES, st.lists(NAMES, max_size=6)), min_size=1, max_size=12)


def size(block: Block) -> float:
    return block.width * block.height


def overlap(one: Block, other: Block) -> float:
    width = min(one.x + one.width, other.x + other.width) - max(one.x, other.x)
    height = min(one.y + one.height, other.y + other.height) - max(one.y, other.y)
    return max(0.0, width) * max(0.0, height)


@given(AREAS)
def test_blocks_fill_the_plan_without_gaps_or_overlaps(areas: list[tuple[str, list[str]]]) -> None:
    drawn = floor(areas)
    blocks = [block for area in drawn.areas for block in (area.head, *area.rooms)]
    assert abs(sum(map(size, blocks)) - WIDTH * drawn.height) < 0.01
    assert all(overlap(one, other) < 0.01 for one in blocks for other in blocks if one is not other)


def test_two_areas_stand_beside_each_other_and_as_tall() -> None:
    drawn = floor([("Kitchen", ["Kitchen", "Pantry"]), ("Bath", []), ("Hall", ["Hall"])])
    assert [(area.number, area.head) for area in drawn.areas] == [
        (1, Block(0, 0, 162, 31, ("Kitchen",))),
        (2, Block(162, 0, 162, 31, ("Bath",))),
        (3, Block(0, 109, 324, 31, ("Hall",))),
    ]
    assert [area.rooms for area in drawn.areas] == [
        (Block(0, 31, 162, 39, ("Kitchen",)), Block(0, 70, 162, 39, ("Pantry",))),
        (Block(162, 31, 162, 78, ("",)),),
        (Block(0, 140, 324, 39, ("Hall",)),),
    ]
    assert (drawn.width, drawn.height) == (324, 179)


def test_rooms_stand_beside_each_other_where_they_are_wide_enough() -> None:
    (area,) = floor([("Home", ["One", "Two", "Three", "Four"])]).areas
    assert [(room.x, room.y, room.width) for room in area.rooms] == [
        (0, 31, 108),
        (108, 31, 108),
        (216, 31, 108),
        (0, 70, 324),
    ]


def test_a_long_name_is_broken_and_cut_at_its_third_line() -> None:
    (area,) = floor([("Home", ["word " * 60])]).areas
    (room,) = area.rooms
    assert [len(line) for line in room.lines] == [44, 44, 40]
    assert room.lines[2].endswith("…")


@given(AREAS)
def test_every_area_has_its_number_and_its_rooms_below_its_name(areas: list[tuple[str, list[str]]]) -> None:
    drawn = floor(areas)
    assert [area.number for area in drawn.areas] == list(range(1, len(areas) + 1))
    for area, (_, rooms) in zip(drawn.areas, areas, strict=True):
        assert len(area.rooms) == max(1, len(rooms))
        assert all(room.y >= area.bottom - 0.01 for room in area.rooms)


@given(AREAS)
def test_names_fit_into_their_boxes(areas: list[tuple[str, list[str]]]) -> None:
    for area in floor(areas).areas:
        for block in (area.head, *area.rooms):
            assert len(block.lines) <= MOST_LINES
            assert all(len(line) * LETTER <= block.width for line in block.lines)
            assert len(block.lines) * 15 <= block.height
