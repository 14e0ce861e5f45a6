"""Starter lists: for each kind of room the tasks a household can begin with, and the words it is known by."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from coach.course.definition import MINUTES_A_DAY
from coach.course.file_names import id_of
from coach.course.file_text import decoded
from coach.course.keys import (
    MOST,
    Check,
    Found,
    filled_text,
    list_of,
    one_of,
    said,
    table_faults,
    truth,
    whole,
)
from coach.course.toml_text import read_toml
from coach.errors import FaultyFile

EXTENSION = ".toml"
TASK_KEYS: dict[str, Check] = {
    "title": filled_text,
    "minutes": whole(1, MINUTES_A_DAY),
    "every_days": whole(1, MOST),
    "source": filled_text,
    "caution": filled_text,
    "hygiene": truth,
}


class Use(StrEnum):
    """What rooms are for, in the order in which a home's areas are proposed."""

    WET = "wet"
    SLEEPING = "sleeping"
    LIVING = "living"
    WAYS = "ways"
    OUTSIDE = "outside"


@dataclass(frozen=True, slots=True)
class RoomTask:
    """One task of a starter list.

    Attributes:
        minutes: Minutes it takes.
        every_days: It is done at most once in so many days, where an authority gives an interval.
        source: The authority.
        caution: A key of the cautions.
        hygiene: Whether what food, water, sleep or hands touch, or what grows if it is left, needs it.
    """

    title: str
    minutes: int
    every_days: int | None = None
    source: str | None = None
    caution: str | None = None
    hygiene: bool = False


@dataclass(frozen=True, slots=True)
class RoomKind:
    """A kind of room.

    Attributes:
        id: The name of its file without number and ending.
        words: What a room of this kind may be called.
        detail: Detail tasks in working order: dry before wet, from the top to the floor.
        declutter: Declutter tasks in order.
        use: What such a room is for; rooms of one use are best taken together.
        joins: Kinds of rooms that are one room here: a name that holds words of all of them means this kind.
    """

    id: str
    title: str
    words: tuple[str, ...]
    detail: tuple[RoomTask, ...]
    declutter: tuple[RoomTask, ...] = ()
    use: Use | None = None
    joins: tuple[str, ...] = ()

    @property
    def minutes(self) -> int:
        """Minutes of all its detail tasks."""
        return sum(task.minutes for task in self.detail)


def _tasks(keys: Mapping[str, Check]) -> Check:
    def faults(path: str, value: object) -> Found:
        if not isinstance(value, list):
            yield path, f"“{path}” needs tables headed [[{path}]], not {said(value)}"
            return
        for number, task in enumerate(value, 1):
            place = f"{path}.{number}"
            yield from table_faults(keys, place, task, ("title", "minutes"), ROOM_KEYS)
            with_interval = isinstance(task, Mapping) and "every_days" in keys.keys() & task.keys()
            if with_interval and "source" not in task:
                reason = (
                    f"“{place}.every_days” needs a “source” beside it: the authority that names the interval"
                )
                yield f"{place}.every_days", reason

    return faults


ROOM_KEYS: dict[str, Check] = {
    "title": filled_text,
    "words": list_of(filled_text),
    "use": one_of(*Use),
    "joins": list_of(filled_text),
    "detail": _tasks(TASK_KEYS),
    "declutter": _tasks({key: TASK_KEYS[key] for key in ("title", "minutes", "caution")}),
}


def is_room_file(file: str) -> bool:
    """Whether a file of that name is read: it ends in `.toml` and is not hidden."""
    return file.endswith(EXTENSION) and not file.startswith(".")


def room_kind(file: str, content: bytes) -> RoomKind:
    """Read one file of starter lists.

    Raises:
        FaultyFile: Something is wrong with it; all faults are named.
    """
    toml = read_toml(decoded(file, content), file)
    found = table_faults(ROOM_KEYS, "", toml.table, required=("title", "words", "detail"))
    faults = toml.faults(file, found)
    if faults:
        raise FaultyFile(tuple(faults))
    values: Mapping[str, Any] = toml.table
    return RoomKind(
        id=id_of(file.removesuffix(EXTENSION)),
        title=values["title"],
        words=tuple(values["words"]),
        detail=tuple(RoomTask(**task) for task in values["detail"]),
        declutter=tuple(RoomTask(**task) for task in values.get("declutter", ())),
        use=Use(values["use"]) if "use" in values else None,
        joins=tuple(values.get("joins", ())),
    )
