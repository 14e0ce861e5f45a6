"""The areas changed: named, ordered, merged, split, added and removed."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, TypedDict

from coach.areas.changes import Change, redivide
from coach.areas.overview import all_areas_in
from coach.areas.rooms import refuse_unknown, rooms_named
from coach.areas.rules import division
from coach.areas.rules.model import (
    MOST_ROOMS,
    MOST_TASKS,
    Area,
    TaskList,
    all_tasks,
    checked,
    position_of,
)
from coach.areas.rules.proposal import area_of, free_id, in_room
from coach.course.direction import isolated
from coach.course.keys import is_blank
from coach.errors import Malformed, Unknown

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterable, Sequence

    from coach.areas.answers import Areas
    from coach.areas.rooms import Named
    from coach.areas.rules.model import DetailTask, Divided
    from coach.areas.rules.proposal import Room
    from coach.ground.ports import Context


def add_area(context: Context, household: str, name: str, rooms: Sequence[Named] = ()) -> Areas:
    """Add an area with the starter lists of its rooms, or of the room its name means; last in the order.

    What a pass of a few turns cannot hold is kept beside it. A room of which no kind is known brings no list:
    an area may be any part of a home.
    """

    def decide(found: Change) -> tuple[Divided, str]:
        plain = " ".join(name.split())
        if is_blank(plain):
            raise Malformed("An area has no name. Give it one, such as “Kitchen”.")
        named = _rooms(context, rooms or [plain])
        made = area_of(named, (), found.new_id, found.plan.rotation.minutes_a_week)
        area = replace(made, id=_new_id(found, plain), name=plain)
        return division.add(found.plan.areas, area), f"Added the area {isolated(plain)}"

    return redivide(context, household, decide, all_areas_in)


def _rooms(context: Context, names: Sequence[Named]) -> list[Room]:
    """Rooms by their names; blank ones are left out, but not all of them."""
    filled = [name for name in names if (name if isinstance(name, str) else name.name).strip()]
    if len(filled) > MOST_ROOMS:
        raise Malformed(f"These are {len(filled):,} rooms. At most {MOST_ROOMS} belong to one area.")
    named = rooms_named(context.library, filled)
    if names and not named:
        raise Malformed("No room has a name. Name one at least, or leave the rooms out.")
    return named


def _new_id(found: Change, name: str) -> str:
    return free_id(name, {area.id for area in found.plan.areas})


class AreaChanges(TypedDict, total=False):
    """What changes about an area; what is left out stays as it is.

    Attributes:
        rooms: The names of its rooms; its tasks stay as they are.
        position: Its new place in the order, counted from 0.
    """

    name: str
    rooms: Sequence[str]
    position: int


def change_area(context: Context, household: str, area: str, changes: AreaChanges) -> Areas:
    """Give an area another name, other rooms, or another place in the order.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: The areas are not set up, or there is no such area.
        Malformed: The name cannot be.
    """

    def decide(found: Change) -> tuple[Divided, str]:
        areas, old = found.plan.areas, _area(found, area)
        said = f"Changed {isolated(old.name)}"
        if "position" in changes:
            areas = _placed(areas, area, changes["position"])
            said = _moved_words(areas, area)
        if "rooms" in changes:
            names = [room.name for room in _rooms(context, changes["rooms"])]
            areas = division.set_rooms(areas, area, names)
            said = f"Changed the rooms of {isolated(old.name)}"
        if "name" in changes:
            areas = division.rename(areas, area, " ".join(changes["name"].split()))
            said = f"Renamed {isolated(old.name)} to {isolated(areas[position_of(areas, area)].name)}"
        return areas, said

    return redivide(context, household, decide, all_areas_in)


def move_area(context: Context, household: str, area: str, by: int) -> Areas:
    """Move an area so many places later in the order, or earlier, from wherever it stands by then."""

    def decide(found: Change) -> tuple[Divided, str]:
        place = position_of(found.plan.areas, area)
        areas = _placed(found.plan.areas, area, place + by)
        return areas, _moved_words(areas, area)

    return redivide(context, household, decide, all_areas_in)


def _moved_words(areas: Divided, area: str) -> str:
    place = position_of(areas, area)
    name = isolated(areas[place].name)
    if place + 1 == len(areas):
        return f"Moved {name} to the end"
    return f"Moved {name} before {isolated(areas[place + 1].name)}"


def _placed(areas: Divided, area: str, position: int) -> Divided:
    ids = [one.id for one in areas if one.id != area]
    ids.insert(max(0, position), area)
    return division.reorder(areas, ids)


def add_room(context: Context, household: str, area: str, room: Named) -> Areas:
    """Add a room to an area with the starter lists of its kind, after the tasks that are there.

    What is needed for hygiene or has an interval comes onto the list; the rest as far as a pass through the
    area still takes a few turns, and else as suggestions.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: The areas are not set up, or there is no such area or kind.
        Unfit: Its kind is neither told by its name nor said.
        Malformed: It has no name, or one that another room of the area has.
    """

    def decide(found: Change) -> tuple[Divided, str]:
        old = _area(found, area)
        named = rooms_named(context.library, [room])
        if not named or named[0].name in old.rooms:
            raise Malformed(f"Give a name that no room of {old.name} has yet.")
        refuse_unknown(named)
        beside = [task.minutes for task in old.detail]
        brought = area_of(named, (), found.new_id, found.plan.rotation.minutes_a_week, beside)
        one, other = (_by_room(old), _by_room(brought)) if old.rooms else (old, brought)
        joined = replace(
            one,
            rooms=one.rooms + other.rooms,
            detail=one.detail + other.detail,
            declutter=one.declutter + other.declutter,
            suggestions=(one.suggestions + other.suggestions)[:MOST_TASKS],
        )
        return _with(found, joined), f"Added {isolated(brought.name)} to {isolated(old.name)}"

    return redivide(context, household, decide, all_areas_in)


def remove_room(context: Context, household: str, area: str, room: str) -> Areas:
    """Take a room out of an area, with the tasks that name it."""

    def decide(found: Change) -> tuple[Divided, str]:
        old = _area(found, area)
        if room not in old.rooms:
            raise Unknown(f"{old.name} has no room “{room}”.")
        gone = {task.id for task in all_tasks([old]) if _room_of(task, [room])}
        left = replace(old, rooms=tuple(one for one in old.rooms if one != room))
        for which in TaskList:
            stay = tuple(task for task in left.tasks(which) if task.id not in gone)
            left = left.with_tasks(which, stay)
        return _with(found, _plain(left)), f"Removed {isolated(room)} from {isolated(old.name)}"

    return redivide(context, household, decide, all_areas_in)


def remove_area(context: Context, household: str, area: str) -> Areas:
    """Take an area out, with its tasks."""

    def decide(found: Change) -> tuple[Divided, str]:
        said = f"Removed the area {isolated(_area(found, area).name)}"
        return division.remove(found.plan.areas, area), said

    return redivide(context, household, decide, all_areas_in)


def merge_areas(context: Context, household: str, into: str, other: str, name: str | None = None) -> Areas:
    """Make one area of two; the tasks of an area with one room say which, so that they stay told apart."""

    def decide(found: Change) -> tuple[Divided, str]:
        kept_name, gone = _area(found, into).name, _area(found, other).name
        told_apart = tuple(_by_room(area) if area.id in {into, other} else area for area in found.plan.areas)
        said = f"Merged {isolated(gone)} into {isolated(kept_name)}"
        return division.merge(told_apart, into, other, name), said

    return redivide(context, household, decide, all_areas_in)


def split_area(
    context: Context,
    household: str,
    area: str,
    name: str,
    rooms: Collection[str],
    tasks: Collection[str] = (),
) -> Areas:
    """Make two areas of one.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        area: The area to split.
        name: Of the new one, which comes right after it.
        rooms: The rooms that go over, with the tasks that name them.
        tasks: Ids of further tasks that go over.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such area, room or task.
        Malformed: Nothing goes over, or nothing stays, or the name cannot be.
    """

    def decide(found: Change) -> tuple[Divided, str]:
        old = _area(found, area)
        for room in rooms:
            if room not in old.rooms:
                raise Unknown(f"{old.name} has no room “{room}”.")
        moved = dict.fromkeys(rooms)
        over = set(tasks) | {task.id for task in all_tasks([old]) if _room_of(task, moved)}
        if not over and not rooms:
            raise Malformed("Choose a room or a task for the new area.")
        plain = " ".join(name.split())
        new = Area(_new_id(found, plain), plain, tuple(room for room in old.rooms if room in rooms))
        parts = division.split(found.plan.areas, area, new, over)
        return tuple(_plain(one) for one in parts), f"Split {isolated(plain)} from {isolated(old.name)}"

    return redivide(context, household, decide, all_areas_in)


def _with(found: Change, changed: Area) -> Divided:
    return checked(changed if area.id == changed.id else area for area in found.plan.areas)


def _area(found: Change, area: str) -> Area:
    return found.plan.areas[position_of(found.plan.areas, area)]


def _room_of(task: DetailTask, rooms: Iterable[str]) -> str | None:
    return next((room for room in rooms if task.title.startswith(f"{room}: ")), None)


def _by_room(area: Area) -> Area:
    """An area of one room with that room in its tasks' titles."""
    if len(area.rooms) != 1:
        return area
    (room,) = area.rooms

    def said(task: DetailTask) -> DetailTask:
        return task if _room_of(task, [room]) else replace(task, title=in_room(task.title, room))

    return _retitled(area, said)


def _plain(area: Area) -> Area:
    """An area of one room without that room in its tasks' titles."""
    if len(area.rooms) != 1:
        return area
    before = f"{area.rooms[0]}: "
    return _retitled(area, lambda task: replace(task, title=task.title.removeprefix(before)))


def _retitled(area: Area, said: Callable[[DetailTask], DetailTask]) -> Area:
    for which in TaskList:
        area = area.with_tasks(which, tuple(map(said, area.tasks(which))))
    return area
