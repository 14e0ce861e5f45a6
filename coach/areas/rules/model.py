"""Areas: the parts a home is divided into, each with its detail and declutter tasks (home rules)."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import chain
from typing import TYPE_CHECKING

from coach.areas.rules.rotation import MOST_AREAS, MOST_MINUTES
from coach.course.keys import is_blank, shortened
from coach.course.keys import text as text_faults
from coach.errors import Malformed, Unknown, first_said

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

MOST_TASKS = 200
MOST_ROOMS = 40
MOST_DAYS = 3660
NAME_LENGTH = 80
TITLE_LENGTH = 200


class TaskList(StrEnum):
    """Which of an area's lists a task stands on; what is only suggested has no turn."""

    DETAIL = "detail"
    DECLUTTER = "declutter"
    SUGGESTIONS = "suggestions"


@dataclass(frozen=True, slots=True)
class DetailTask:
    """One task of an area's lists.

    Attributes:
        id: Its name in marks; no other task of the home has it.
        minutes: Minutes it takes, 1 to 1440.
        every_days: It is done at most once in so many days, if that is given.
        caution: A key of the cautions, or none.
        source: Where its interval comes from, or none.
    """

    id: str
    title: str
    minutes: int
    every_days: int | None = None
    caution: str | None = None
    source: str | None = None


@dataclass(frozen=True, slots=True)
class Area:
    """One part of a home, with its tasks in order.

    Attributes:
        id: Its name in the plan and in addresses; it stays when the area is renamed or moved.
        rooms: The rooms that belong to it.
        detail: Detail tasks.
        declutter: Declutter tasks, which take the place of the others in declutter weeks.
        suggestions: Detail tasks kept beside the list, to be added when the household likes.
    """

    id: str
    name: str
    rooms: tuple[str, ...] = ()
    detail: tuple[DetailTask, ...] = ()
    declutter: tuple[DetailTask, ...] = ()
    suggestions: tuple[DetailTask, ...] = ()

    def tasks(self, which: TaskList) -> tuple[DetailTask, ...]:
        """The tasks of one of its lists, in order."""
        return {
            TaskList.DETAIL: self.detail,
            TaskList.DECLUTTER: self.declutter,
            TaskList.SUGGESTIONS: self.suggestions,
        }[which]

    def with_tasks(self, which: TaskList, tasks: tuple[DetailTask, ...]) -> Area:
        """The same area with other tasks on one of its lists."""
        match which:
            case TaskList.DETAIL:
                return replace(self, detail=tasks)
            case TaskList.DECLUTTER:
                return replace(self, declutter=tasks)
            case TaskList.SUGGESTIONS:
                return replace(self, suggestions=tasks)


Divided = tuple[Area, ...]
"""A home divided into areas, in order."""


def checked(areas: Iterable[Area]) -> Divided:
    """The areas as they are, if a home can be divided so.

    Raises:
        Malformed: It cannot; the text names the first faults.
    """
    kept = tuple(areas)
    refuse(area_faults(kept))
    return kept


def refuse(faults: Iterable[str]) -> None:
    """Raise what is wrong, if anything is.

    Raises:
        Malformed: It names the first faults and counts the rest.
    """
    found = first_said(faults)
    if found:
        raise Malformed(found)


@dataclass(frozen=True, slots=True)
class Size:
    """How much an area has, which can be looked at before anything is made of it.

    Attributes:
        rooms: How many it has.
        detail: How many detail tasks.
        declutter: How many declutter tasks.
        suggestions: How many suggestions.
    """

    name: str
    rooms: int
    detail: int
    declutter: int
    suggestions: int = 0


def size_faults(areas: Sequence[Size]) -> Iterator[str]:
    """Where a home has more than it can, a sentence each."""
    if not areas:
        yield f"There is no area. A home has 1 to {MOST_AREAS}: add one."
    if len(areas) > MOST_AREAS:
        yield f"These are {len(areas):,} areas. A home has at most {MOST_AREAS}: merge some."
    for area in areas:
        name = shortened(area.name)
        if area.rooms > MOST_ROOMS:
            yield f"{name} has {area.rooms:,} rooms. At most {MOST_ROOMS} belong to one area."
        numbers = {
            "detail tasks": area.detail,
            "declutter tasks": area.declutter,
            "suggestions": area.suggestions,
        }
        for what, number in numbers.items():
            if number > MOST_TASKS:
                yield f"{name} has {number:,} {what}. A list holds at most {MOST_TASKS}."


def area_faults(areas: Sequence[Area]) -> Iterator[str]:
    """What is wrong with a division of a home, a sentence each."""
    yield from size_faults([_size(area) for area in areas])
    yield from _repeated("area", (area.id for area in areas))
    yield from _repeated("task", (task.id for task in all_tasks(areas)))
    for area in areas:
        yield from _faults_of(area)


def _size(area: Area) -> Size:
    return Size(area.name, len(area.rooms), len(area.detail), len(area.declutter), len(area.suggestions))


def _repeated(noun: str, ids: Iterable[str]) -> Iterator[str]:
    for repeated, times in Counter(ids).items():
        if times > 1:
            yield f"Two {noun}s have the id “{repeated}”. Each needs its own."


def _faults_of(area: Area) -> Iterator[str]:
    yield from _name_faults("An area", area.name, NAME_LENGTH)
    for room in area.rooms:
        yield from _name_faults(f"A room of {shortened(area.name)}", room, NAME_LENGTH)
    for which in TaskList:
        yield from chain.from_iterable(map(task_faults, area.tasks(which)))


def minutes_faults(minutes_a_week: int) -> Iterator[str]:
    """What is wrong with the minutes of a week's turn."""
    if not 1 <= minutes_a_week <= MOST_MINUTES:
        yield f"The minutes a week go from 1 to {MOST_MINUTES}, not {minutes_a_week}."


def task_faults(task: DetailTask) -> Iterator[str]:
    """What is wrong with a task, a sentence each."""
    yield from _name_faults("A task", task.title, TITLE_LENGTH)
    if not 1 <= task.minutes <= MOST_MINUTES:
        yield f"“{task.title}” needs 1 to {MOST_MINUTES} minutes, not {task.minutes}."
    if task.every_days is not None and not 1 <= task.every_days <= MOST_DAYS:
        yield f"“{task.title}” can come every 1 to {MOST_DAYS} days, not every {task.every_days}."
    if task.source is not None:
        yield from _name_faults("A source", task.source, TITLE_LENGTH)


def _name_faults(noun: str, name: str, most: int) -> Iterator[str]:
    if is_blank(name):
        yield f"{noun} has no name. Give it one."
    elif len(name) > most:
        yield f"{noun} has a name of {len(name)} characters. Keep it to {most}."
    elif any(text_faults(noun, name)):
        yield f"{noun} has characters in its name that cannot be shown. Type it again."


def all_tasks(areas: Iterable[Area]) -> Iterator[DetailTask]:
    """Every task of every list, area by area: detail, declutter, suggestions."""
    return chain.from_iterable(chain(area.detail, area.declutter, area.suggestions) for area in areas)


def position_of(areas: Sequence[Area], area_id: str) -> int:
    """The place of an area in the order, from 0.

    Raises:
        Unknown: There is no such area.
    """
    for position, area in enumerate(areas):
        if area.id == area_id:
            return position
    raise Unknown(f"There is no area “{area_id}”.")


def place_of(areas: Sequence[Area], task_id: str) -> tuple[int, TaskList, int]:
    """Where a task stands: the place of its area, its list, and its place in the list, all from 0.

    Raises:
        Unknown: There is no such task.
    """
    for position, area in enumerate(areas):
        for which in TaskList:
            for place, task in enumerate(area.tasks(which)):
                if task.id == task_id:
                    return position, which, place
    raise Unknown(f"There is no task “{task_id}”.")
