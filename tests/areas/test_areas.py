"""The areas: a proposal, the set-up, every change, and the way back from each."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from areas.area_house import WHOLE, AreaHouse
from coach.areas import dividing as area_division
from coach.areas import overview as areas
from coach.areas import tasks as area_tasks
from coach.areas.given import AreaGiven, TaskGiven, put_areas
from coach.errors import Malformed, NotEditable, NotStarted, Unknown
from habits.house import HOME, House

if TYPE_CHECKING:
    from collections.abc import Callable

    from coach.areas.answers import Areas


@pytest.fixture
def house() -> AreaHouse:
    return AreaHouse()


def titles(house: AreaHouse, area: str) -> list[str]:
    return [task.title for task in areas.one_area(house.context, HOME, area).detail]


def test_before_the_set_up_there_are_no_areas_and_looking_at_their_week_says_so() -> None:
    house = AreaHouse(())
    assert house.areas.areas == ()
    with pytest.raises(Unknown, match="not divided into areas yet"):
        areas.this_week(house.context, HOME)


def test_nothing_is_there_before_the_start() -> None:
    with pytest.raises(NotStarted):
        areas.all_areas(House().context, HOME)


def test_a_proposal_keeps_nothing_and_says_for_which_rooms_no_list_is_known() -> None:
    house = AreaHouse(())
    found = areas.propose(house.context, ["  Upstairs  bath", "Chapel", "", "My galley"], 2)
    assert found.rooms == ("Upstairs bath", "Chapel", "My galley")
    assert found.without_list == ("Chapel",)
    assert [area.name for area in found.areas] == ["My galley", "Upstairs bath and Chapel"]
    assert house.areas.areas == ()


def test_accepting_gives_the_areas_as_proposed_with_the_first_turn_this_week(house: AreaHouse) -> None:
    proposal = areas.propose(house.context, WHOLE)
    assert [(area.name, area.rooms, area.minutes) for area in house.areas.areas] == [
        (area.name, area.rooms, area.minutes) for area in proposal.areas
    ]
    assert house.areas.this_week == ("kitchen",)
    assert house.areas.undo == "Divided the home into 3 areas"


def test_a_home_is_set_up_once(house: AreaHouse) -> None:
    with pytest.raises(NotEditable, match="divided into areas already"):
        areas.set_up(house.context, HOME, ["Bath"])
    assert house.names == list(WHOLE)


@pytest.mark.parametrize(
    ("rooms", "count", "said"),
    [
        ([], None, "No room is named"),
        (["", "  "], None, "No room is named"),
        (["Bath"] * 61, None, "at most 60"),
        (["Bath", "Kitchen"], 3, "1 to 2 areas, not 3"),
        (["Bath"] * 20, 13, "1 to 12 areas, not 13"),
        (["Bath"], 0, "One room makes one area, not 0"),
        (["x" * 81], None, "a name of 81 characters"),
    ],
)
def test_rooms_of_which_no_areas_can_be_made_are_refused(
    rooms: list[str], count: int | None, said: str
) -> None:
    house = AreaHouse(())
    with pytest.raises(Malformed, match=said):
        areas.set_up(house.context, HOME, rooms, count)
    assert house.areas.areas == ()


def test_an_area_of_several_rooms_says_the_room_with_each_task() -> None:
    house = AreaHouse(["Bath", "Toilet", "Kitchen", "Bedroom", "Galley", "Bedroom 2"])
    (both,) = [area for area in house.areas.areas if len(area.rooms) > 1]
    assert both.name == "Bath and Toilet"
    assert [task.title for task in both.detail] == [
        "Bath: Tiles 1", "Bath: Tiles 2", "Toilet: Bowl 1", "Toilet: Bowl 2"
    ]  # fmt: skip


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
    assert areas.undo(house.context, HOME) == before


def test_changes_are_taken_back_one_after_the_other_and_a_new_one_before_those(house: AreaHouse) -> None:
    seen = [house.areas]
    seen += [
        area_division.change_area(house.context, HOME, "bath", {"name": name})
        for name in ("Wet room", "Bathing")
    ]
    assert areas.undo(house.context, HOME) == seen[1]
    area_division.change_area(house.context, HOME, "kitchen", {"name": "Cooking"})
    assert areas.undo(house.context, HOME) == seen[1]
    assert areas.undo(house.context, HOME) == seen[0]
    assert areas.undo(house.context, HOME).areas == ()
    with pytest.raises(NotEditable, match="no change of the areas left"):
        areas.undo(house.context, HOME)


def test_the_set_up_taken_back_can_be_done_anew_and_no_mark_meets_another_task(house: AreaHouse) -> None:
    house.done("Oven", 1)
    old = {task.task for area in house.areas.areas for task in area.detail}
    areas.undo(house.context, HOME)
    found = areas.set_up(house.context, HOME, ["Kitchen"])
    assert old.isdisjoint(task.task for task in found.areas[0].detail)
    assert house.listed == ["Oven", "Shelf 1"]


def test_a_change_that_changes_nothing_is_not_kept(house: AreaHouse) -> None:
    before = house.areas
    area_division.change_area(house.context, HOME, "bath", {"name": "Bath", "position": 1})
    assert house.areas.undo == before.undo


def test_merged_areas_say_the_room_with_each_task_and_split_ones_no_longer(house: AreaHouse) -> None:
    area_division.merge_areas(house.context, HOME, "kitchen", "bath")
    assert titles(house, "kitchen") == [
        "Kitchen: Oven", "Kitchen: Shelf 1", "Kitchen: Shelf 2", "Kitchen: Shelf 3",
        "Bath: Tiles 1", "Bath: Tiles 2",
    ]  # fmt: skip
    area_division.split_area(house.context, HOME, "kitchen", "Bath", ["Bath"])
    assert titles(house, "kitchen") == ["Oven", "Shelf 1", "Shelf 2", "Shelf 3"]
    assert titles(house, "bath") == ["Tiles 1", "Tiles 2"]


def test_a_room_comes_with_its_list_and_goes_with_its_tasks(house: AreaHouse) -> None:
    area_division.add_room(house.context, HOME, "bath", "Guest toilet")
    assert titles(house, "bath") == [
        "Bath: Tiles 1", "Bath: Tiles 2", "Guest toilet: Bowl 1", "Guest toilet: Bowl 2"
    ]  # fmt: skip
    area_division.remove_room(house.context, HOME, "bath", "Bath")
    assert titles(house, "bath") == ["Bowl 1", "Bowl 2"]
    assert areas.one_area(house.context, HOME, "bath").rooms == ("Guest toilet",)


def test_an_area_added_twice_gets_an_id_of_its_own_and_none_that_an_address_has(house: AreaHouse) -> None:
    area_division.add_area(house.context, HOME, "Bath")
    area_division.add_area(house.context, HOME, "Week")
    area_division.add_area(house.context, HOME, "浴室")
    assert [area.area for area in house.areas.areas[3:]] == ["bath-2", "week-2", "area"]


def test_tasks_are_added_changed_moved_and_removed(house: AreaHouse) -> None:
    context = house.context
    area_tasks.add_task(context, HOME, "bath", "detail", TaskGiven("Mirror", 5), 0)
    assert titles(house, "bath") == ["Mirror", "Tiles 1", "Tiles 2"]
    mirror = house.task("Mirror")
    area_tasks.change_task(context, HOME, mirror, {"title": "Mirrors", "position": 5})
    assert titles(house, "bath") == ["Tiles 1", "Tiles 2", "Mirrors"]
    area_tasks.change_task(context, HOME, mirror, {"area": "kitchen"})
    assert titles(house, "kitchen")[-1] == "Mirrors"
    area_tasks.remove_task(context, HOME, mirror)
    assert "Mirrors" not in titles(house, "kitchen")
    assert house.areas.undo == "Removed “Mirrors”"


def test_an_interval_of_ones_own_has_no_source(house: AreaHouse) -> None:
    found = area_tasks.change_task(house.context, HOME, house.task("Sheets"), {"minutes": 12})
    assert (found.areas[2].detail[0].every_days, found.areas[2].detail[0].source) == (14, "A source")
    found = area_tasks.change_task(house.context, HOME, house.task("Sheets"), {"every_days": 21})
    assert (found.areas[2].detail[0].every_days, found.areas[2].detail[0].source) == (21, None)


@pytest.mark.parametrize(
    ("task", "said"),
    [
        (TaskGiven("Mirror", 0), "“Mirror” needs 1 to 1440 minutes, not 0"),
        (TaskGiven("Mirror", 2000), "“Mirror” needs 1 to 1440 minutes, not 2000"),
        (TaskGiven("Mirror", 5, every_days=0), "every 1 to 3660 days, not every 0"),
        (TaskGiven("  ", 5), "A task has no name"),
        (TaskGiven("Mirror", 5, source="x" * 201), "A source has a name of 201 characters"),
    ],
)
def test_a_task_that_cannot_be_is_refused_and_nothing_is_lost(
    house: AreaHouse, task: TaskGiven, said: str
) -> None:
    before = house.areas
    with pytest.raises(Malformed, match=said):
        area_tasks.add_task(house.context, HOME, "bath", "detail", task)
    assert house.areas == before


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


def given(house: AreaHouse) -> list[AreaGiven]:
    """The areas as a program would put them back."""

    def tasks(of: tuple[object, ...]) -> tuple[TaskGiven, ...]:
        return tuple(
            TaskGiven(task.title, task.minutes, task.task, task.every_days, task.source, task.caution)  # type: ignore[attr-defined]  # tasks
            for task in of
        )

    return [
        AreaGiven(area.name, area.rooms, tasks(area.detail), tasks(area.declutter), area.area)
        for area in house.areas.areas
    ]


def test_areas_put_back_as_they_were_are_the_same_and_keep_their_marks(house: AreaHouse) -> None:
    house.done("Oven", 1)
    before, week = house.areas.areas, house.week
    assert put_areas(house.context, HOME, given(house)).areas == before
    assert house.week == week


def test_areas_put_before_a_set_up_begin_the_rotation() -> None:
    house = AreaHouse(())
    put_areas(house.context, HOME, [AreaGiven("Attic", detail=(TaskGiven("Beams", 10),))])
    assert house.listed == ["Beams"]


def test_thirteen_areas_and_none_are_refused_with_the_way_to_mend_it(house: AreaHouse) -> None:
    for number, said in ((13, "These are 13 areas. A home has at most 12"), (0, "There is no area")):
        with pytest.raises(Malformed, match=said):
            put_areas(house.context, HOME, [AreaGiven(f"Area {one}") for one in range(number)])
    assert house.names == list(WHOLE)


def test_ids_that_the_plan_does_not_have_are_refused(house: AreaHouse) -> None:
    with pytest.raises(Unknown, match="no area “attic”"):
        put_areas(house.context, HOME, [AreaGiven("Attic", area="attic")])
    with pytest.raises(Unknown, match="Leave the id of a new task out"):
        put_areas(house.context, HOME, [AreaGiven("Attic", detail=(TaskGiven("Beams", 10, "t99"),))])
