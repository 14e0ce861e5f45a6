"""The areas changed one by one: named, ordered, merged, split, added and removed."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from areas.house import AreaHouse
from coach.areas import dividing as area_division
from coach.areas import tasks as area_tasks
from coach.areas.overview import one_area
from coach.areas.setup import undo
from coach.errors import Malformed, Unknown
from habits.house import HOME

if TYPE_CHECKING:
    from collections.abc import Callable

    from coach.areas.answers import Areas


@pytest.fixture
def house() -> AreaHouse:
    return AreaHouse()


CHANGES: dict[str, tuple[Callable[[AreaHouse], Areas], list[str]]] = {
    "rename": (
        lambda house: area_division.change_area(house.context, HOME, "bath", {"name": " Wet  room "}),
        ["Kitchen", "Wet room", "Bedroom"],
    ),
    "reorder": (
        lambda house: area_division.change_area(house.context, HOME, "bedroom", {"position": 0}),
        ["Bedroom", "Kitchen", "Bath"],
    ),
    "merge": (
        lambda house: area_division.merge_areas(house.context, HOME, "kitchen", "bath", "Wet and warm"),
        ["Wet and warm", "Bedroom"],
    ),
    "split": (
        lambda house: area_division.split_area(
            house.context, HOME, "kitchen", "Oven", [], [house.task("Oven")]
        ),
        ["Kitchen", "Oven", "Bath", "Bedroom"],
    ),
    "add": (
        lambda house: area_division.add_area(house.context, HOME, "Downstairs", ["Toilet"]),
        ["Kitchen", "Bath", "Bedroom", "Downstairs"],
    ),
    "remove": (
        lambda house: area_division.remove_area(house.context, HOME, "kitchen"),
        ["Bath", "Bedroom"],
    ),
}


@pytest.mark.parametrize("name", CHANGES)
def test_every_change_of_the_areas_does_what_it_says_and_can_be_taken_back(
    house: AreaHouse, name: str
) -> None:
    change, names = CHANGES[name]
    before = house.areas
    after = change(house)
    assert [area.name for area in after.areas] == names
    assert after.undo != before.undo
    assert undo(house.context, HOME) == before


def test_a_change_that_changes_nothing_is_not_kept(house: AreaHouse) -> None:
    before = house.areas
    area_division.change_area(house.context, HOME, "bath", {"name": "Bath", "position": 1})
    assert house.areas.undo == before.undo


def test_merged_areas_say_the_room_with_each_task_and_split_ones_no_longer(house: AreaHouse) -> None:
    area_division.merge_areas(house.context, HOME, "kitchen", "bath")
    assert house.titles( "kitchen") == [
        "Kitchen: Oven", "Kitchen: Shelf 1", "Kitchen: Shelf 2", "Kitchen: Shelf 3",
        "Bath: Tiles 1", "Bath: Tiles 2",
    ]  # fmt: skip
    area_division.split_area(house.context, HOME, "kitchen", "Bath", ["Bath"])
    assert house.titles("kitchen") == ["Oven", "Shelf 1", "Shelf 2", "Shelf 3"]
    assert house.titles("bath") == ["Tiles 1", "Tiles 2"]


def test_a_room_comes_with_its_list_and_goes_with_its_tasks(house: AreaHouse) -> None:
    area_division.add_room(house.context, HOME, "bath", "Guest toilet")
    assert house.titles( "bath") == [
        "Bath: Tiles 1", "Bath: Tiles 2", "Guest toilet: Bowl 1", "Guest toilet: Bowl 2"
    ]  # fmt: skip
    area_division.remove_room(house.context, HOME, "bath", "Bath")
    assert house.titles("bath") == ["Bowl 1", "Bowl 2"]
    assert one_area(house.context, HOME, "bath").rooms == ("Guest toilet",)


def test_an_area_added_twice_gets_an_id_of_its_own_and_none_that_an_address_has(house: AreaHouse) -> None:
    area_division.add_area(house.context, HOME, "Bath")
    area_division.add_area(house.context, HOME, "Week")
    area_division.add_area(house.context, HOME, "浴室")
    assert [area.area for area in house.areas.areas[3:]] == ["bath-2", "week-2", "area"]


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda house: area_division.remove_area(house.context, HOME, "moon"), "no area “moon”"),
        (lambda house: area_division.merge_areas(house.context, HOME, "bath", "moon"), "no area “moon”"),
        (lambda house: area_division.remove_room(house.context, HOME, "bath", "Moon"), "no room “Moon”"),
        (lambda house: area_tasks.remove_task(house.context, HOME, "t999"), "no task “t999”"),
        (
            lambda house: area_division.split_area(house.context, HOME, "bath", "New", ["Moon"]),
            "no room “Moon”",
        ),
        (
            lambda house: area_tasks.change_task(
                house.context, HOME, house.task("Oven"), {"caution": "moon"}
            ),
            "no caution “moon”",
        ),
    ],
)
def test_what_is_not_there_is_named(
    house: AreaHouse, change: Callable[[AreaHouse], Areas], said: str
) -> None:
    with pytest.raises(Unknown, match=said):
        change(house)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda house: area_division.change_area(house.context, HOME, "bath", {"name": " "}), "no name"),
        (lambda house: area_division.add_area(house.context, HOME, " "), "no name"),
        (
            lambda house: area_division.add_room(house.context, HOME, "bath", "Bath"),
            "no room of Bath has yet",
        ),
        (lambda house: area_division.merge_areas(house.context, HOME, "bath", "bath"), "with itself"),
        (lambda house: area_division.split_area(house.context, HOME, "bath", "New", []), "Choose a room or"),
    ],
)
def test_what_makes_no_sense_is_said(
    house: AreaHouse, change: Callable[[AreaHouse], Areas], said: str
) -> None:
    before = house.areas
    with pytest.raises(Malformed, match=said):
        change(house)
    assert house.areas == before


def test_the_last_area_stays(house: AreaHouse) -> None:
    for area in ("kitchen", "bath"):
        area_division.remove_area(house.context, HOME, area)
    with pytest.raises(Malformed, match="There is no area"):
        area_division.remove_area(house.context, HOME, "bedroom")
