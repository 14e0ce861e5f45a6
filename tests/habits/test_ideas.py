"""What could come next in the steady time."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from coach.coaching.library import FolderLibrary
from coach.course.model import Slot
from coach.habits import steps
from coach.habits.day import today
from coach.habits.ideas import ideas_in
from habits.house import HOME, House
from progress.living import a_course, a_step, days, marks, stand, start

if TYPE_CHECKING:
    from coach.course.model import Step
    from coach.habits.notes import Idea

COURSE = a_course(
    a_step("bed", slot="morning", minutes=9),
    a_step("lamp", slot="evening", minutes=7),
    a_step("job", minutes=90, repeats="FREQ=WEEKLY", waits=False),
    at_once=3,
)
OFFERED = {
    step.id: step
    for step in (
        *(a_step(f"morning-{number}", slot="morning") for number in (1, 2)),
        *(a_step(f"any-{number}", slot="anytime", minutes=3) for number in (1, 2, 3)),
        *(a_step(f"evening-{number}", slot="evening") for number in (1, 2)),
    )
}
ROWS = [*start(), *marks("kept", days(1, 40), "bed", "lamp")]


def offered(day: int, catalogue: dict[str, Step] | None = None) -> list[str]:
    """What is named on a day."""
    found = ideas_in(stand(COURSE, ROWS, day), OFFERED if catalogue is None else catalogue)
    return [idea.step for idea in found.steps] if found else []


def test_nothing_is_named_while_a_step_is_still_on_its_way() -> None:
    assert ideas_in(stand(COURSE, ROWS, 2), OFFERED) is None


def test_two_for_the_part_of_the_day_with_most_room_and_one_for_the_next() -> None:
    assert offered(6) == ["any-1", "any-2", "evening-1"]
    found = ideas_in(stand(COURSE, ROWS, 6), OFFERED)
    assert found is not None
    assert found.text.endswith("If you would like more, there is most room during the day:")
    assert (found.steps[0].title, found.steps[0].minutes, found.steps[0].slot) == ("The any-1", 3, "anytime")


def test_they_stay_for_a_week_and_then_others_have_their_turn() -> None:
    assert [offered(day) for day in (6, 7)] == [["any-1", "any-2", "evening-1"]] * 2
    assert [offered(day) for day in (8, 14)] == [["any-3", "any-1", "evening-1"]] * 2
    assert offered(15) == ["any-2", "any-3", "evening-1"]


def test_where_the_lightest_has_none_left_the_others_fill_up() -> None:
    assert offered(6, {name: step for name, step in OFFERED.items() if "any" not in name}) == [
        "evening-1",
        "evening-2",
        "morning-1",
    ]
    assert offered(6, {}) == []


def test_what_the_household_has_is_not_offered_again() -> None:
    house = House(COURSE, catalogue=tuple(OFFERED.values())).begun()
    for day in range(1, 6):
        house.at(day)
        for name in ("bed", "lamp"):
            house.mark(day, name)
    house.at(6)
    assert [idea.step for idea in _ideas(house)] == ["any-1", "any-2", "evening-1"]
    steps.add(house.context, HOME, "any-1", {"title": "Any", "waits": False})
    house.at(7)
    assert [idea.step for idea in _ideas(house)][:1] == ["any-2"]


def _ideas(house: House) -> tuple[Idea, ...]:
    found = today(house.context, HOME).ideas
    assert found is not None
    return found.steps


def test_the_shipped_catalogue_has_something_for_every_part_of_the_day() -> None:
    standing = stand(COURSE, ROWS, 6)
    for slot in ("morning", "anytime", "evening"):
        heavy = {
            name: replace(place, step=replace(place.step, slot=Slot(slot)))
            for name, place in standing.steps.items()
        }
        found = ideas_in(replace(standing, steps=heavy), FolderLibrary().catalogue())
        assert found is not None
        assert len(found.steps) == 3
