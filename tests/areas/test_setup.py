"""The areas as a whole: a proposal, the set-up, areas put by a program, and changes taken back."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from areas.house import WHOLE, AreaHouse
from coach.areas import dividing as area_division
from coach.areas import setup
from coach.areas.overview import all_areas
from coach.areas.rooms import NamedRoom
from coach.areas.week import this_week
from coach.errors import Malformed, NotEditable, NotStarted, Unknown
from coach.ground.faults import Unfit
from habits.house import HOME, House

if TYPE_CHECKING:
    from coach.areas.answers import TaskView
    from coach.areas.tasks import WantedTask


@pytest.fixture
def house() -> AreaHouse:
    return AreaHouse()


def test_before_the_set_up_there_are_no_areas_and_looking_at_their_week_says_so() -> None:
    house = AreaHouse(())
    assert house.areas.areas == ()
    with pytest.raises(Unknown, match="not divided into areas yet"):
        this_week(house.context, HOME)


def test_nothing_is_there_before_the_start() -> None:
    with pytest.raises(NotStarted):
        all_areas(House().context, HOME)


def test_a_proposal_keeps_nothing_and_says_which_rooms_it_does_not_know() -> None:
    house = AreaHouse(())
    found = setup.propose(house.context, ["  Upstairs  bath", "Chapel", "", "My galley"], 2)
    assert found.rooms == ("Upstairs bath", "Chapel", "My galley")
    assert found.unknown == ("Chapel",)
    assert found.kinds == ("bath", None, "kitchen")
    assert [area.name for area in found.areas] == ["My galley", "Upstairs bath and Chapel"]
    assert house.areas.areas == ()


def test_a_proposal_says_how_the_number_of_areas_was_picked() -> None:
    house = AreaHouse(())
    found = setup.propose(house.context, ["Kitchen", "Bath", "Toilet", "Bedroom"], minutes=20)
    assert (len(found.areas), found.by_minutes, found.minutes_a_week) == (2, 2, 20)
    assert found.picked == (
        "The lists of your 4 rooms hold 195 minutes; at 20 minutes a week they make 2 areas of about 4 turns "
        "each, so all of it is finished once in about 8 weeks."
    )
    other = setup.propose(house.context, ["Kitchen", "Bath", "Toilet", "Bedroom"], 4, 20)
    assert other.picked == "You chose 4 areas; at 20 minutes a week the lists of your 4 rooms make 2."
    assert setup.propose(house.context, ["Bath"]).picked == "One room makes one area."


def test_the_areas_have_the_turns_they_were_proposed_for() -> None:
    house = AreaHouse(())
    proposal = setup.propose(house.context, ["Kitchen", "Bath"], 1, 10)
    found = setup.set_up(house.context, HOME, ["Kitchen", "Bath"], 1, 10)
    assert found.minutes_a_week == 10
    assert [area.visits for area in found.areas] == [area.visits for area in proposal.areas] == [4]
    suggested = [task.title for task in proposal.areas[0].suggestions]
    assert [task.title for task in found.areas[0].suggestions] == suggested != []


@pytest.mark.parametrize("minutes", [0, 1441, -5])
def test_minutes_that_cannot_be_meant_are_refused(minutes: int) -> None:
    with pytest.raises(Malformed, match=f"go from 1 to 1440, not {minutes}"):
        setup.propose(AreaHouse(()).context, ["Kitchen"], minutes=minutes)


def test_a_room_of_no_known_kind_is_asked_for_it_before_anything_is_kept() -> None:
    house = AreaHouse(())
    with pytest.raises(Unfit) as caught:
        setup.set_up(house.context, HOME, ["Bath", "Chapel", NamedRoom("Vestry", "none"), "Crypt"])
    assert [fault.field for fault in caught.value.faults] == ["rooms/1", "rooms/3"]
    assert "What kind of room is Chapel" in caught.value.faults[0].reason
    assert house.areas.areas == ()


def test_a_room_gets_the_list_of_the_kind_that_is_said_whatever_its_name() -> None:
    house = AreaHouse(())
    rooms = [NamedRoom("Chapel", "bath"), NamedRoom("Kitchen", "none"), NamedRoom("Bedroom", "")]
    found = setup.set_up(house.context, HOME, rooms, 3).areas
    assert {area.name: area.minutes for area in found} == {"Chapel": 30, "Bedroom": 65, "Kitchen": 0}
    with pytest.raises(Unknown, match="no kind of room “moon”"):
        setup.propose(house.context, [NamedRoom("Chapel", "moon")])


def test_accepting_gives_the_areas_as_proposed_with_the_first_turn_this_week(house: AreaHouse) -> None:
    proposal = setup.propose(house.context, WHOLE, 3, 60)
    assert [(area.name, area.rooms, area.minutes) for area in house.areas.areas] == [
        (area.name, area.rooms, area.minutes) for area in proposal.areas
    ]
    assert house.areas.this_week == ("kitchen",)
    assert house.areas.undo == "Divided the home into 3 areas"


def test_a_home_is_set_up_once(house: AreaHouse) -> None:
    with pytest.raises(NotEditable, match="divided into areas already"):
        setup.set_up(house.context, HOME, ["Bath"])
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
        setup.set_up(house.context, HOME, rooms, count)
    assert house.areas.areas == ()


def test_an_area_of_several_rooms_says_the_room_with_each_task() -> None:
    house = AreaHouse(["Bath", "Toilet", "Kitchen", "Bedroom", "Galley", "Bedroom 2"], 5)
    (both,) = [area for area in house.areas.areas if len(area.rooms) > 1]
    assert both.name == "Bath and Toilet"
    assert [task.title for task in both.detail] == [
        "Bath: Tiles 1", "Bath: Tiles 2", "Toilet: Bowl 1", "Toilet: Bowl 2"
    ]  # fmt: skip


def test_changes_are_taken_back_one_after_the_other_and_a_new_one_before_those(house: AreaHouse) -> None:
    seen = [house.areas]
    seen += [
        area_division.change_area(house.context, HOME, "bath", {"name": name})
        for name in ("Wet room", "Bathing")
    ]
    assert setup.undo(house.context, HOME) == seen[1]
    area_division.change_area(house.context, HOME, "kitchen", {"name": "Cooking"})
    assert setup.undo(house.context, HOME) == seen[1]
    assert setup.undo(house.context, HOME) == seen[0]
    assert setup.undo(house.context, HOME).areas == ()
    with pytest.raises(NotEditable, match="no change of the areas left"):
        setup.undo(house.context, HOME)


def test_the_set_up_taken_back_can_be_done_anew_and_no_mark_meets_another_task(house: AreaHouse) -> None:
    house.done("Oven", 1)
    old = {task.task for area in house.areas.areas for task in area.detail}
    setup.undo(house.context, HOME)
    found = setup.set_up(house.context, HOME, ["Kitchen"], minutes=60)
    assert old.isdisjoint(task.task for task in found.areas[0].detail)
    assert house.listed == ["Oven", "Shelf 1"]


def as_wanted(house: AreaHouse) -> list[setup.WantedArea]:
    """The areas as a program would put them back."""

    def tasks(of: tuple[TaskView, ...]) -> list[WantedTask]:
        return [
            {
                "task": task.task,
                "title": task.title,
                "minutes": task.minutes,
                "every_days": task.every_days,
                "source": task.source,
                "caution": task.caution,
            }
            for task in of
        ]

    return [
        {
            "area": area.area,
            "name": area.name,
            "rooms": area.rooms,
            "detail": tasks(area.detail),
            "declutter": tasks(area.declutter),
            "suggestions": tasks(area.suggestions),
        }
        for area in house.areas.areas
    ]


def test_areas_put_back_as_they_were_are_the_same_and_keep_their_marks(house: AreaHouse) -> None:
    house.done("Oven", 1)
    before, week = house.areas.areas, house.week
    assert setup.put_areas(house.context, HOME, as_wanted(house)).areas == before
    assert house.week == week


def test_areas_put_before_a_set_up_begin_the_rotation() -> None:
    house = AreaHouse(())
    setup.put_areas(house.context, HOME, [{"name": "Attic", "detail": [{"title": "Beams", "minutes": 10}]}])
    assert house.listed == ["Beams"]


def test_thirteen_areas_and_none_are_refused_with_the_way_to_mend_it(house: AreaHouse) -> None:
    for number, said in ((13, "These are 13 areas. A home has at most 12"), (0, "There is no area")):
        with pytest.raises(Malformed, match=said):
            setup.put_areas(house.context, HOME, [{"name": f"Area {one}"} for one in range(number)])
    assert house.names == list(WHOLE)


def test_ids_that_the_plan_does_not_have_are_refused(house: AreaHouse) -> None:
    with pytest.raises(Unknown, match="no area “attic”"):
        setup.put_areas(house.context, HOME, [{"name": "Attic", "area": "attic"}])
    with pytest.raises(Unknown, match="Leave the id of a new task out"):
        setup.put_areas(
            house.context,
            HOME,
            [{"name": "Attic", "detail": [{"task": "t99"}]}],
        )
