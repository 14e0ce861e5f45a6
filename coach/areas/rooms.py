"""The rooms of a home as they are named, each with its kind: told by its name, or said."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from coach.areas.answers import RoomChoice
from coach.areas.rules.model import NAME_LENGTH
from coach.areas.rules.proposal import Room, check_number
from coach.course.direction import isolated
from coach.course.keys import is_blank
from coach.course.room_names import kind_of
from coach.errors import Unknown
from coach.ground.faults import FieldFault, Unfit

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from coach.course.rooms import RoomKind
    from coach.ground.ports import Context, Library

NO_KIND = "none"
"""Said in the place of a kind: the room is none of those, and its list begins empty."""


@dataclass(frozen=True, slots=True)
class NamedRoom:
    """A room as it is named.

    Attributes:
        kind: The id of its kind, or `NO_KIND`; none or empty: its name tells it.
    """

    name: str
    kind: str | None = None


Named = str | NamedRoom
"""A room by its name alone, or with its kind."""


def rooms(context: Context) -> tuple[RoomChoice, ...]:
    """The kinds of rooms that have starter lists."""
    return tuple(
        RoomChoice(
            room=kind.id,
            title=kind.title,
            use=kind.use.value if kind.use else None,
            words=kind.words,
            minutes=kind.minutes,
            detail=len(kind.detail),
            declutter=len(kind.declutter),
        )
        for kind in context.library.rooms()
    )


def rooms_at_first(library: Library, named: Iterable[Named]) -> list[Room]:
    """The rooms that a home is divided by.

    Raises:
        Unknown: One is said to be of a kind that there is not.
        Malformed: There is no room, or there are too many.
    """
    filled = [room for room in map(_with_kind, named) if room.name.strip()]
    check_number(len(filled))
    return rooms_named(library, filled)


def rooms_named(library: Library, named: Iterable[Named]) -> list[Room]:
    """Rooms with their kinds; spaces are put straight and empty names left out.

    To look for a room's kind takes a while, so whoever asks sees first that they are not too many.

    Raises:
        Unknown: One is said to be of a kind that there is not.
    """
    kinds = library.rooms()
    plain = ((" ".join(one.name.split()), one.kind) for one in map(_with_kind, named))
    return [_room(name, kind, kinds) for name, kind in plain if not is_blank(name)]


def _with_kind(room: Named) -> NamedRoom:
    return NamedRoom(room) if isinstance(room, str) else room


def _room(name: str, said: str | None, kinds: Sequence[RoomKind]) -> Room:
    if said == NO_KIND:
        return Room(name, None, none_of_these=True)
    if said:
        kind = next((kind for kind in kinds if kind.id == said), None)
        if kind is None:
            raise Unknown(
                f"There is no kind of room “{said}”. Choose one there is, or “{NO_KIND}” for an empty list."
            )
        return Room(name, kind)
    # A longer name is no room's, and is going to be refused.
    return Room(name, kind_of(name, kinds) if len(name) <= NAME_LENGTH else None)


def kind_said(room: Room) -> str | None:
    """The kind of a room as it is said: an id or `NO_KIND`; None where it is unknown."""
    if room.kind is not None:
        return room.kind.id
    return NO_KIND if room.none_of_these else None


def refuse_unknown(named: Sequence[Room]) -> None:
    """See that every room's kind is known or said to be none.

    Raises:
        Unfit: It is not; every such room is a fault beside its place, counted from 0.
    """
    faults = [
        FieldFault(f"rooms/{place}", _asked(room.name))
        for place, room in enumerate(named)
        if room.is_unknown and len(room.name) <= NAME_LENGTH
    ]
    if faults:
        raise Unfit(faults)


def _asked(name: str) -> str:
    return f"What kind of room is {isolated(name)}? Say its kind, or “{NO_KIND}” to begin with an empty list."
