"""What the JSON interface takes about areas, their tasks and their turns.

Numbers that make no sense for a home are let through to the plan, whose sentences say what would.
"""

from typing import Annotated

from pydantic import Discriminator, Field, JsonValue, Tag

from coach.areas.answers import ListName, ModeName, WayName, WeekdayName
from coach.areas.rooms import Named, NamedRoom
from coach.web.api.fields import WHOLE, Body, Name, Part
from coach.web.dates import IsoDate

MOST = 10**9
MOST_READ = 100
"""Of more areas than these none is read; of fewer a sentence says how many a home has."""

Number = Annotated[int, Field(ge=-MOST, le=MOST), WHOLE]


Length = Annotated[int, Field(ge=-MOST, le=MOST, json_schema_extra={"minimum": 1, "maximum": 1440}), WHOLE]
Interval = Annotated[int, Field(ge=-MOST, le=MOST, json_schema_extra={"minimum": 1, "maximum": 3660}), WHOLE]
FILLED_LIST: dict[str, JsonValue] = {"minItems": 1}
# What these describe is refused in the plan's own sentences too.


class NamedBody(Part):
    """A room with its kind."""

    name: Name
    kind: str | None = Field(
        None, description="The id of a kind, or `none` for an empty list; null: its name tells it."
    )


def _shape(room: object) -> str:
    """Which of the two a room is said as, so that a fault is told once and not for both."""
    return "room" if isinstance(room, dict | NamedBody) else "name"


RoomSaid = Annotated[Annotated[Name, Tag("name")] | Annotated[NamedBody, Tag("room")], Discriminator(_shape)]


def named(rooms: list[RoomSaid]) -> list[Named]:
    """The rooms as the use cases take them."""
    return [room if isinstance(room, str) else NamedRoom(room.name, room.kind) for room in rooms]


class RoomsBody(Body):
    """The rooms of a home, the minutes of a turn, and how many areas they are to make."""

    rooms: list[RoomSaid] = Field(
        description="Names as the household says them, each known by its words, or with its kind.",
        json_schema_extra=FILLED_LIST,
    )
    areas: Number | None = Field(None, description="How many areas; none: as many as the minutes make.")
    minutes_a_week: Length | None = Field(
        None, description="Minutes of one area's turn, 1 to 1440; none: as usual."
    )


class TaskBody(Part):
    """A task of an area's list."""

    task: str | None = Field(None, description="Its id, if the plan has it already; none for a new task.")
    title: Name
    minutes: Length = Field(description="1 to 1440.")
    every_days: Interval | None = Field(None, description="Done at most once in so many days, 1 to 3660.")
    source: Name | None = Field(None, description="Where that interval comes from.")
    caution: str | None = Field(None, description="A key of the cautions.")


class AreaBody(Part):
    """An area with its lists."""

    area: str | None = Field(None, description="Its id, if the plan has it already; none for a new area.")
    name: Name
    rooms: list[Name] = Field([], max_length=40)
    detail: list[TaskBody] = Field([], max_length=200)
    declutter: list[TaskBody] = Field([], max_length=200)
    suggestions: list[TaskBody] = Field([], max_length=200)


class AreasBody(Body):
    """All areas of the home, 1 to 12, in order."""

    areas: list[AreaBody] = Field(max_length=MOST_READ, json_schema_extra={"minItems": 1, "maxItems": 12})


class NewArea(Body):
    """An area to add, with the starter lists of its rooms."""

    name: Name
    rooms: list[RoomSaid] = Field([], description="Without any, the area's own name is taken for its room.")


class AreaPatch(Body):
    """What changes about an area; keys that are left out stay as they are."""

    name: Name = ""
    rooms: list[Name] = Field([])
    position: Number = Field(0, description="Its new place in the order, from 0.")


class RoomBody(Body):
    """A room to add, with its starter lists."""

    room: Name
    kind: str | None = Field(
        None, description="The id of a kind, or `none` for an empty list; null: its name tells it."
    )


class MergeBody(Body):
    """Another area to take in."""

    other: str = Field(description="The id of the area that goes.")
    name: Name | None = Field(None, description="A new name for both; none: as it is.")


class SplitBody(Body):
    """What goes over to a new area."""

    name: Name
    rooms: list[Name] = Field([], description="With them go the tasks that name them.")
    tasks: list[str] = Field([], description="Ids of further tasks.")


class NewTask(TaskBody, Body):
    """A task to add."""

    task: None = None
    list: ListName = "detail"
    position: Number | None = Field(None, description="Its place in the list, from 0; none: last.")


class TaskPatch(Body):
    """What changes about a task; keys that are left out stay as they are."""

    title: Name = ""
    minutes: Length = 0
    every_days: Interval | None = Field(None, description="Null takes the interval away.")
    caution: str | None = Field(None, description="Null takes the caution away.")
    area: str = Field("", description="The id of the area it moves to.")
    position: Number = Field(0, description="Its new place in the list, from 0.")


class ArrangementPatch(Body):
    """How the areas are worked in; keys that are left out stay as they are."""

    mode: ModeName = "continuous"
    minutes_a_week: Length = Field(40, description="1 to 1440.")
    way: WayName = "list"
    spot_minutes: Length = Field(10, description="1 to 1440.")
    area_days: list[WeekdayName] = Field([], description="Weekdays over which the minutes are spread.")
    first: str = Field("", description="The id of an area with which the rotation starts anew, this week.")


class SkipBody(Body):
    """A week to leave free, named by any of its dates."""

    week: IsoDate


class SwapBody(Body):
    """Two weeks that change their turns, each named by any of its dates."""

    week: IsoDate
    other: IsoDate


class GiveBody(Body):
    """The area that is given this week."""

    area: str = Field(description="Its id.")


class SortFirstBody(Body):
    """Whether an area is sorted out first."""

    first: bool = Field(description="True: until its shelves are done; false: go back to its tasks.")


class DeclutterBody(Body):
    """Declutter weeks from this week on."""

    weeks: Number | None = Field(None, description="How many; none: one round of all areas; 0 ends them.")
