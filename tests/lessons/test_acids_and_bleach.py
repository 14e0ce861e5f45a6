"""Acids and bleach never meet: not in a weekly list, not across rooms of one area, not on a step's day.

CDC CS316270A, 2020: never mix bleach with any other cleaner. The distances below are this project's choice,
without a source.
"""

from __future__ import annotations

from datetime import date, timedelta
from itertools import product
from typing import TYPE_CHECKING

import pytest

from coach.areas.rules.rotation import MINUTES_A_WEEK
from coach.coaching.lessons_folder import shipped_lessons
from coach.course.reader import load_course, read_catalogue, read_rooms
from coach.course.recurrence import falls
from coach.course.rooms import RoomKind, RoomTask

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from coach.course.model import Step

LESSONS = shipped_lessons()
KINDS = read_rooms(LESSONS / "areas")
STEPS = [*load_course(LESSONS / "three-weeks").steps, *read_catalogue(LESSONS / "catalogue")]

ACIDS = "acids"
NEVER_WITH_ACIDS = {
    "bleach": "acid and bleach give off chlorine gas",
    "mould": "many mould removers hold bleach",
    "caustic": "oven and drain cleaners are used with nothing else",
}
BETWEEN_ROOMS = 20
"""Minutes of other tasks that lie at least between two rooms' tasks: a sitting of short tasks."""

CLEANING_OF_ALL_KINDS = {
    "wet-round": "one of its lines is cleaning the toilet",
    "area-time": "the area's list may hold anything",
}
WATER_ONLY = {"bathroom-wiped": "a wet cloth, daily; its caution is for the seldom cleaner"}


def never_together(one: RoomTask, other: RoomTask) -> bool:
    return (one.caution == ACIDS and other.caution in NEVER_WITH_ACIDS) or (
        other.caution == ACIDS and one.caution in NEVER_WITH_ACIDS
    )


def meetings(tasks: Sequence[RoomTask]) -> list[tuple[str, str]]:
    """Tasks of one list that a week's turn of the usual minutes can hold both of."""
    return [
        (one.title, other.title)
        for first, one in enumerate(tasks)
        for last, other in enumerate(tasks[first:], first)
        if never_together(one, other) and minutes_of(tasks[first : last + 1]) <= MINUTES_A_WEEK
    ]


def meetings_between(room: Sequence[RoomTask], next_room: Sequence[RoomTask]) -> list[tuple[str, str]]:
    """Tasks of two rooms, one list after the other, with too little between them."""
    return [
        (one.title, other.title)
        for (first, one), (last, other) in product(enumerate(room), enumerate(next_room))
        if never_together(one, other)
        and minutes_of(room[first + 1 :]) + minutes_of(next_room[:last]) < BETWEEN_ROOMS
    ]


def minutes_of(tasks: Sequence[RoomTask]) -> int:
    return sum(task.minutes for task in tasks)


def of_kind(kind_id: str) -> RoomKind:
    return next(kind for kind in KINDS if kind.id == kind_id)


def acid_tasks() -> Iterator[RoomTask]:
    return (task for kind in KINDS for task in (*kind.detail, *kind.declutter) if task.caution == ACIDS)


@pytest.mark.parametrize("kind", KINDS, ids=[kind.id for kind in KINDS])
def test_no_weekly_list_of_a_room_holds_both(kind: RoomKind) -> None:
    assert meetings(kind.detail) == []
    assert meetings(kind.declutter) == []


@pytest.mark.parametrize("kind", KINDS, ids=[kind.id for kind in KINDS])
def test_rooms_of_one_area_keep_them_a_sitting_apart(kind: RoomKind) -> None:
    """Any two kinds can come to stand in one area, in either order, two of the same as well."""
    assert [met for other in KINDS for met in meetings_between(kind.detail, other.detail)] == []


def test_there_are_such_tasks_to_keep_apart() -> None:
    for room in ("bathroom", "toilet"):
        cautions = {task.caution for task in of_kind(room).detail}
        assert {ACIDS, "bleach"} <= cautions
    assert {ACIDS, "caustic"} <= {task.caution for task in of_kind("kitchen").detail}


def test_tasks_with_an_acid_say_that_they_have_a_day_without_bleach() -> None:
    tasks = list(acid_tasks())
    assert len(tasks) >= 5
    for task in tasks:
        assert "on a day without bleach" in task.title
        assert "rinse" in task.title


@pytest.mark.parametrize("key", NEVER_WITH_ACIDS)
@pytest.mark.parametrize("order", [1, -1], ids=["acid first", "acid last"])
def test_a_list_that_lets_them_meet_would_be_found(key: str, order: int) -> None:
    pair = [RoomTask("Descale", 10, caution=ACIDS), RoomTask("Scrub", 10, caution=key)][::order]
    titles = (pair[0].title, pair[1].title)
    assert meetings(pair) == [titles]
    assert meetings([pair[0], RoomTask("Dust", MINUTES_A_WEEK - 20), pair[1]]) == [titles]
    assert meetings([pair[0], RoomTask("Dust", MINUTES_A_WEEK - 19), pair[1]]) == []
    assert meetings_between(pair[:1], pair[1:]) == [titles]
    assert meetings_between([pair[0], RoomTask("Dust", 10)], [RoomTask("Air", 9), pair[1]]) == [titles]
    assert meetings_between([pair[0], RoomTask("Dust", 10)], [RoomTask("Air", 10), pair[1]]) == []


def test_the_shipped_list_would_be_found_with_its_acid_beside_the_bleach() -> None:
    tasks = list(of_kind("toilet").detail)
    acid = next(task for task in tasks if task.caution == ACIDS)
    tasks.remove(acid)
    tasks.insert(next(at for at, task in enumerate(tasks) if task.caution == "bleach"), acid)
    assert len(meetings(tasks)) >= 1


def may_use_bleach(step: Step) -> bool:
    """Whether something that must not meet an acid may be in hand on the step's days."""
    hands_on = step.caution in NEVER_WITH_ACIDS and step.id not in WATER_ONLY
    return hands_on or step.id in CLEANING_OF_ALL_KINDS


def test_no_step_with_an_acid_falls_on_a_day_of_one_with_bleach() -> None:
    """As shipped; a household that moves a step has the caution's words."""
    acids = [step for step in STEPS if step.caution == ACIDS]
    bleach = [step for step in STEPS if may_use_bleach(step)]
    assert acids
    assert {"wet-round", "area-time", "shower-drain", "washer-seal"} <= {step.id for step in bleach}
    start = date(2027, 1, 4)
    for day in (start + timedelta(days=ahead) for ahead in range(366)):
        for one, other in product(acids, bleach):
            both = falls(one.repeats, start, day) and falls(other.repeats, start, day)
            assert not both, f"{one.id} and {other.id} on {day}"


def test_the_steps_named_here_exist() -> None:
    assert {*CLEANING_OF_ALL_KINDS, *WATER_ONLY} <= {step.id for step in STEPS}
