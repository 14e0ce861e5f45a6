"""A coach's work on starter lists: the faults and doubts of the `areas` folders that go with a course."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from coach.course.likely import meant
from coach.course.reader import read_rooms
from coach.errors import Fault, FaultyFile

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator
    from pathlib import Path

    from coach.course.rooms import RoomKind

AREAS = "areas"


def check_starter_lists(
    course: Path, cautions: Collection[str]
) -> tuple[tuple[Fault, ...], tuple[Fault, ...]]:
    """The faults of the starter lists in a course's folder and in the one around it, and what is doubtful.

    Args:
        course: The course's folder.
        cautions: The keys of the cautions there are.
    """
    faults: list[Fault] = []
    doubts: list[Fault] = []
    for folder in (course / AREAS, course.resolve().parent / AREAS):
        if not folder.is_dir():
            continue
        try:
            kinds = read_rooms(folder)
        except FaultyFile as error:
            faults += [replace(fault, file=f"{AREAS}/{fault.file}") for fault in error.faults]
        else:
            doubts += [doubt for kind in kinds for doubt in _doubts(kind, cautions)]
    return tuple(faults), tuple(doubts)


def _doubts(kind: RoomKind, cautions: Collection[str]) -> Iterator[Fault]:
    for task in (*kind.detail, *kind.declutter):
        if task.caution and task.caution not in cautions:
            reason = f"“{task.title}”: there is no caution “{task.caution}”{meant(task.caution, cautions)}"
            yield Fault(f"{AREAS}/{kind.id}", None, reason)
