"""Groups of households under one coach, the courses they follow, and what a household lets be seen."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, NamedTuple

if TYPE_CHECKING:
    from datetime import date, datetime


Level = Literal["nothing", "counted", "by name"]
NOTHING: Level = "nothing"
COUNTED: Level = "counted"
BY_NAME: Level = "by name"


@dataclass(frozen=True, slots=True)
class Group:
    """Households that began together under one coach.

    Attributes:
        id: Its key.
        coach: The person who coaches it.
        name: What it is called.
        course: The course it follows: a shipped one's name, or the id of one that the coach brought.
        first_day: The first day on which one of its households may start.
        language: The language of its lessons, as BCP 47 writes it: "en-GB".
        made_at: When it was made, aware.
    """

    id: str
    coach: str
    name: str
    course: str
    first_day: date
    language: str
    made_at: datetime


@dataclass(frozen=True, slots=True)
class Enrolment:
    """A household where many are hosted: what it is called, whose group it is in, and what may be seen of it.

    Attributes:
        household: Its key.
        name: What the household is called.
        group: The group it is in; empty: none.
        joined_at: When it came into the group, aware.
        level: What its keeper lets the coach see.
        level_at: When that was chosen, aware.
        level_until: The last date on which it holds; None: for `nothing`, which has no end.
    """

    household: str
    name: str
    group: str
    joined_at: datetime
    level: Level
    level_at: datetime
    level_until: date | None

    def seen_on(self, day: date) -> Level:
        """What the coach may see on a date: what was chosen, while it holds."""
        return self.level if self.level_until is not None and day <= self.level_until else NOTHING


@dataclass(frozen=True, slots=True)
class KeptCourse:
    """A course that a coach brought, as one version of it was checked.

    Attributes:
        digest: The version's digest.
        coach: The person whose it is; empty: the house's own, which whoever is here can follow.
        course: The course's id, the same for all its versions.
        title: Its title.
        content: The course as JSON, as `coach.course.jsonform` writes it.
        packed: The file it came in.
        added_at: When it was added, aware.
    """

    digest: str
    coach: str
    course: str
    title: str
    content: str
    packed: bytes
    added_at: datetime


class HeldVersion(NamedTuple):
    """From a date on a group's households follow this version of its course."""

    since: date
    digest: str
