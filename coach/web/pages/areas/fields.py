"""What people type into the forms of the areas, as values; nothing typed is lost when it cannot be read."""

import re
from itertools import starmap, zip_longest
from typing import Literal

from pydantic import Field

from coach.areas.answers import ListName, ModeName, WayName, WeekdayName
from coach.areas.rooms import NamedRoom
from coach.areas.tasks import WantedTask
from coach.areas.turns import Arrangement
from coach.course.digits import whole_number
from coach.errors import Malformed
from coach.web.pages.seen import SeenForm

GREATEST = 999_999_999
_PARTED = re.compile("[,;]")


def number(what: str, text: str) -> int:
    """A whole number that was typed.

    Args:
        what: What it is for, in the sentence that says it cannot be read.
        text: As typed.

    Raises:
        Malformed: It is none.
    """
    plain = text.strip()
    size = whole_number(plain.removeprefix("-"), GREATEST)
    if size is None:
        raise Malformed(f"“{plain[:20]}” is no number for {what}. Write a whole number, such as 10.")
    return -size if plain.startswith("-") else size


class RoomsForm(SeenForm):
    """The rooms of the home.

    Attributes:
        room: Those picked from the list, or shown in a proposal.
        kind: The kinds of those in `room`, in their order; empty or missing where the name tells it.
        more: Others, one on each line or parted by commas.
        areas: How many areas they are to make; empty: as proposed.
        minutes: Minutes of a turn; empty: as usual.
        told_room: Rooms whose kind was said before the rooms were looked at again.
        told_kind: Those kinds, in their order.
    """

    room: list[str] = Field([])
    kind: list[str] = Field([])
    more: str = ""
    areas: str = ""
    minutes: str = ""
    told_room: list[str] = Field([])
    told_kind: list[str] = Field([])

    @property
    def names(self) -> list[NamedRoom]:
        """All of them, with the kinds that are said."""
        picked = zip_longest(self.room, self.kind[: len(self.room)], fillvalue="")
        typed = (name for line in self.more.splitlines() for name in _PARTED.split(line))
        told = dict(zip(self.told_room, self.told_kind, strict=False))
        rooms = [*starmap(NamedRoom, picked), *map(NamedRoom, typed)]
        return [NamedRoom(room.name, room.kind or told.get(room.name.strip())) for room in rooms]

    @property
    def count(self) -> int | None:
        """How many areas are wanted, if that is said."""
        return number("the areas", self.areas) if self.areas.strip() else None

    @property
    def minutes_a_week(self) -> int | None:
        """Minutes of a turn, if they are said."""
        return number("the minutes a week", self.minutes) if self.minutes.strip() else None

    @property
    def told(self) -> dict[str, str]:
        """The kinds that are said, by the room."""
        return {room.name: room.kind for room in self.names if room.kind}


class RoomForm(SeenForm):
    """A room to add to an area; its kind is empty where its name tells it."""

    room: str = ""
    kind: str = ""


class TurnsForm(SeenForm):
    """How the areas are worked in.

    Attributes:
        first: With this area the rotation starts anew; empty: it goes on.
        turn: The areas that had their turn when the form was shown, which `first` would change.
    """

    mode: ModeName = "continuous"
    minutes_a_week: str = ""
    way: WayName = "list"
    spot_minutes: str = ""
    area_days: list[WeekdayName] = Field([])
    first: str = ""
    turn: str = ""

    def arrangement(self) -> Arrangement:
        """What it asks for."""
        wanted = Arrangement(
            mode=self.mode,
            minutes_a_week=number("the minutes a week", self.minutes_a_week),
            way=self.way,
            spot_minutes=number("the minutes of a short task", self.spot_minutes),
            area_days=self.area_days,
        )
        return Arrangement({**wanted, "first": self.first}) if self.first else wanted


class NameForm(SeenForm):
    """What an area is called."""

    name: str = ""


class SortForm(SeenForm):
    """Whether an area is sorted out first."""

    first: Literal["yes", "no"] = "no"


class TaskForm(SeenForm):
    """A task, new or to change.

    Attributes:
        every_days: Empty: no interval.
        area: Where it belongs.
        position: Its place in the list, counted from 1; empty: as it is, or last.
    """

    list: ListName = "detail"
    title: str = ""
    minutes: str = ""
    every_days: str = ""
    area: str = ""
    position: str = ""

    def wanted(self) -> WantedTask:
        """The new task it describes."""
        return WantedTask(title=self.title, minutes=self._minutes(), every_days=self._every_days())

    def changes(self) -> WantedTask:
        """What it says of a task that is there."""
        found = self.wanted()
        if self.area:
            found["area"] = self.area
        if self.position.strip():
            found["position"] = number("the place in the list", self.position) - 1
        return found

    def _minutes(self) -> int:
        return number("the minutes", self.minutes)

    def _every_days(self) -> int | None:
        return number("the days between", self.every_days) if self.every_days.strip() else None


class SplitForm(SeenForm):
    """What goes over to a new area."""

    name: str = ""
    room: list[str] = Field([])
    task: list[str] = Field([])
