"""An area sorted out first: its declutter list comes until its shelves are done, and then its tasks again."""

from __future__ import annotations

import pytest

from areas.house import AreaHouse
from coach.areas import tasks as area_tasks
from coach.areas import turns as area_turns
from coach.areas.overview import area_among
from coach.areas.sorting import sort_first
from coach.areas.week import this_week
from coach.errors import Malformed, Unknown
from habits.house import HOME
from progress.living import on

ROUND = 21


@pytest.fixture
def house() -> AreaHouse:
    """The kitchen has two declutter tasks of ten minutes; forty a week."""
    return AreaHouse(minutes=40)


def is_first(house: AreaHouse, area: str = "kitchen") -> bool:
    return area_among(house.areas, area).sort_first


def test_its_declutter_list_comes_until_it_is_done_and_then_its_tasks_by_themselves(house: AreaHouse) -> None:
    assert house.listed == ["Oven"]
    found = sort_first(house.context, HOME, "kitchen", first=True)
    assert found.undo == "Chose to sort Kitchen out first"
    assert (house.listed, house.week.list, house.week.areas[0].list) == (
        ["Mugs 1", "Mugs 2"],
        "declutter",
        "declutter",
    )
    house.done("Mugs 1", 1)
    house.live(ROUND)
    assert (house.listed, is_first(house)) == (["Mugs 2"], True)
    house.done("Mugs 2", 22)
    assert (house.listed, is_first(house)) == (["Mugs 2"], False)
    house.live(ROUND)
    assert (house.listed, house.week.list) == (["Oven"], "detail")


def test_the_other_areas_keep_their_tasks(house: AreaHouse) -> None:
    sort_first(house.context, HOME, "kitchen", first=True)
    house.live(7)
    assert house.listed == ["Tiles 1", "Tiles 2"]


def test_one_can_go_back_before_all_is_sorted(house: AreaHouse) -> None:
    sort_first(house.context, HOME, "kitchen", first=True)
    house.done("Mugs 1", 1)
    found = sort_first(house.context, HOME, "kitchen", first=False)
    assert (house.listed, found.undo) == (["Oven"], "Went back to the tasks of Kitchen")
    sort_first(house.context, HOME, "kitchen", first=True)
    house.live(ROUND)
    assert house.listed == ["Mugs 2"]


def test_what_declutter_weeks_had_done_already_is_left_out_unless_that_was_all(house: AreaHouse) -> None:
    area_turns.declutter(house.context, HOME, 1)
    house.done("Mugs 1", 1)
    house.live(7)
    sort_first(house.context, HOME, "kitchen", first=True)
    house.live(14)
    assert house.listed == ["Mugs 2"]
    house.done("Mugs 2", 22)
    house.live(1)
    sort_first(house.context, HOME, "kitchen", first=True)
    assert is_first(house)
    house.live(20)
    assert house.listed == ["Mugs 1", "Mugs 2"]


def test_a_task_added_once_all_is_sorted_does_not_take_the_sorting_up_again(house: AreaHouse) -> None:
    sort_first(house.context, HOME, "kitchen", first=True)
    for title in ("Mugs 1", "Mugs 2"):
        house.done(title, 1)
    house.live(7)
    area_tasks.add_task(house.context, HOME, "kitchen", "declutter", {"title": "Lids", "minutes": 5})
    assert not is_first(house)
    house.live(14)
    assert house.listed == ["Oven"]


def test_a_task_added_meanwhile_is_sorted_too(house: AreaHouse) -> None:
    sort_first(house.context, HOME, "kitchen", first=True)
    house.done("Mugs 1", 1)
    area_tasks.add_task(house.context, HOME, "kitchen", "declutter", {"title": "Lids", "minutes": 5})
    house.live(ROUND)
    assert house.listed == ["Mugs 2", "Lids"]


def test_the_same_again_writes_nothing(house: AreaHouse) -> None:
    found = sort_first(house.context, HOME, "kitchen", first=True)
    assert sort_first(house.context, HOME, "kitchen", first=True) == found
    back = sort_first(house.context, HOME, "kitchen", first=False)
    assert sort_first(house.context, HOME, "kitchen", first=False) == back


def test_an_area_with_nothing_to_sort_says_so_and_one_that_is_not_there_too(house: AreaHouse) -> None:
    for task in ("Bottles 1",):
        area_tasks.remove_task(house.context, HOME, house.task(task))
    with pytest.raises(Malformed, match="Nothing is on the list for sorting out Bath"):
        sort_first(house.context, HOME, "bath", first=True)
    with pytest.raises(Unknown, match="no area “attic”"):
        sort_first(house.context, HOME, "attic", first=True)


def test_kept_passes_change_nothing(house: AreaHouse) -> None:
    sort_first(house.context, HOME, "kitchen", first=True)
    house.done("Mugs 1", 1)
    house.live(40)
    again = house.folded_from_nothing()
    assert house.week.week == on(36)
    assert this_week(again, HOME) == house.week
