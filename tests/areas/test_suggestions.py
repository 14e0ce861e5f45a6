"""What is kept beside an area's list: added, taken off, put aside, and carried along with the area."""

from __future__ import annotations

import pytest

from areas.house import AreaHouse
from coach.areas import dividing, overview, setup, tasks
from coach.areas.overview import one_area
from coach.areas.plans import kept
from coach.areas.rooms import NamedRoom
from coach.areas.rules.model import MOST_TASKS
from coach.areas.rules.plan import plan_from_values, plan_values
from coach.errors import Malformed, Unknown
from coach.ground.faults import Unfit
from coach.ground.situation import looking
from habits.house import HOME


@pytest.fixture
def house() -> AreaHouse:
    """Kitchen and bath with room for four turns of 10 minutes each, and the rest beside."""
    house = AreaHouse(())
    setup.set_up(house.context, HOME, ["Kitchen", "Bedroom"], 2, 10)
    return house


def beside(house: AreaHouse, area: str) -> list[str]:
    return [task.title for task in one_area(house.context, HOME, area).suggestions]


def suggestion(house: AreaHouse, area: str, title: str) -> str:
    found = one_area(house.context, HOME, area).suggestions
    return next(task.task for task in found if task.title == title)


def test_an_area_begins_with_four_turns_and_keeps_the_rest_beside_in_working_order(house: AreaHouse) -> None:
    assert house.titles("kitchen") == ["Oven", "Shelf 1", "Shelf 2", "Shelf 3"]
    assert house.titles("bedroom") == ["Sheets", "Dust 1", "Dust 2"]
    small = AreaHouse(())
    setup.set_up(small.context, HOME, ["Kitchen", "Bath"], 1, 10)
    assert small.titles("kitchen-and-bath") == [
        "Kitchen: Oven", "Kitchen: Shelf 1", "Bath: Tiles 1", "Bath: Tiles 2"
    ]  # fmt: skip
    assert beside(small, "kitchen-and-bath") == ["Kitchen: Shelf 2", "Kitchen: Shelf 3"]


def test_a_task_put_aside_and_added_again_stands_where_it_stood(house: AreaHouse) -> None:
    for title in ("Shelf 1", "Oven", "Shelf 3"):
        before = house.areas.areas
        task = house.task(title)
        tasks.set_aside(house.context, HOME, task)
        assert title not in house.titles("kitchen")
        assert beside(house, "kitchen") == [title]
        assert tasks.add_suggestion(house.context, HOME, task).areas == before
        assert house.areas.undo == f"Added “{title}”"


def test_suggestions_stay_in_working_order_and_take_no_turn(house: AreaHouse) -> None:
    for title in ("Shelf 3", "Oven", "Shelf 2"):
        tasks.set_aside(house.context, HOME, house.task(title))
    assert beside(house, "kitchen") == ["Oven", "Shelf 2", "Shelf 3"]
    assert house.titles("kitchen") == ["Shelf 1"]
    assert one_area(house.context, HOME, "kitchen").minutes == 20
    assert house.listed == ["Shelf 1"]
    with looking(house.context, HOME) as where:
        assert overview.task_in(where, suggestion(house, "kitchen", "Shelf 2")).list == "suggestions"


def test_a_suggestion_is_taken_off_and_that_taken_back(house: AreaHouse) -> None:
    task = house.task("Oven")
    tasks.set_aside(house.context, HOME, task)
    tasks.remove_task(house.context, HOME, task)
    assert beside(house, "kitchen") == []
    setup.undo(house.context, HOME)
    assert beside(house, "kitchen") == ["Oven"]


def test_only_a_suggestion_is_added_and_only_a_task_of_the_list_put_aside(house: AreaHouse) -> None:
    with pytest.raises(Unknown, match="no suggestion"):
        tasks.add_suggestion(house.context, HOME, house.task("Oven"))
    with pytest.raises(Unknown, match="to put aside"):
        tasks.set_aside(house.context, HOME, house.task("Mugs 1"))


def test_suggestions_go_with_their_room_when_areas_are_merged_split_and_rooms_taken_out(
    house: AreaHouse,
) -> None:
    tasks.set_aside(house.context, HOME, house.task("Shelf 3"))
    dividing.merge_areas(house.context, HOME, "kitchen", "bedroom", "Both")
    assert beside(house, "kitchen") == ["Kitchen: Shelf 3"]
    dividing.split_area(house.context, HOME, "kitchen", "Cooking", ["Kitchen"])
    assert beside(house, "cooking") == ["Shelf 3"]
    assert beside(house, "kitchen") == []
    dividing.merge_areas(house.context, HOME, "kitchen", "cooking")
    dividing.remove_room(house.context, HOME, "kitchen", "Kitchen")
    assert beside(house, "kitchen") == []


def test_a_room_that_is_added_brings_what_it_needs_and_the_rest_beside(house: AreaHouse) -> None:
    dividing.add_room(house.context, HOME, "kitchen", "Second bedroom")
    assert house.titles("kitchen")[-1] == "Second bedroom: Sheets"
    assert beside(house, "kitchen") == ["Second bedroom: Dust 1", "Second bedroom: Dust 2"]


def test_a_room_is_added_to_an_area_that_has_as_many_suggestions_as_it_can(house: AreaHouse) -> None:
    many: list[tasks.WantedTask] = [{"title": f"Dust {number}", "minutes": 1} for number in range(199)]
    full: list[tasks.WantedTask] = [{"title": f"Beam {number}", "minutes": 10} for number in range(4)]
    attic: setup.WantedArea = {"name": "Attic", "rooms": ["Attic"], "detail": full, "suggestions": many}
    setup.put_areas(house.context, HOME, [attic])
    dividing.add_room(house.context, HOME, "attic", "Bedroom")
    assert beside(house, "attic")[-1] == "Bedroom: Dust 1"
    assert len(beside(house, "attic")) == MOST_TASKS


def test_a_room_of_unknown_kind_is_asked_for_it_when_it_is_added(house: AreaHouse) -> None:
    with pytest.raises(Unfit, match="What kind of room is Chapel"):
        dividing.add_room(house.context, HOME, "kitchen", "Chapel")
    dividing.add_room(house.context, HOME, "kitchen", NamedRoom("Chapel", "toilet"))
    dividing.add_room(house.context, HOME, "bedroom", NamedRoom("Vestry", "none"))
    assert [area.rooms for area in house.areas.areas] == [("Kitchen", "Chapel"), ("Bedroom", "Vestry")]


def test_more_suggestions_than_an_area_can_have_are_refused(house: AreaHouse) -> None:
    many: list[tasks.WantedTask] = [{"title": "Dust", "minutes": 1} for _ in range(201)]
    with pytest.raises(Malformed, match=r"201 suggestions\. A list holds at most 200"):
        setup.put_areas(house.context, HOME, [{"name": "Attic", "suggestions": many}])


def test_a_plan_kept_before_there_were_suggestions_has_none(house: AreaHouse) -> None:
    with looking(house.context, HOME) as where:
        plan = kept(where).plan
    assert plan is not None
    values = plan_values(plan)
    assert plan_from_values(values, plan.since) == plan
    for area in values["areas"]:
        del area["suggestions"]
    assert [area.suggestions for area in plan_from_values(values, plan.since).areas] == [(), ()]
