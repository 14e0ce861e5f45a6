"""One file with everything of a household, to take along: what it holds, and how it is written.

A ZIP of UTF-8 texts, the same bytes for the same household:

    home.json         its name, what it has set, its people, and since when which version of its course holds
    log.csv           the log as every export has it (rules §7)
    log-written.json  for each row of it when it was written, by whom, and whether it came in with another log
    plan.json         every row of the plan as it was written, one on each line
    courses/N.json    the versions of the course, as they were followed
    course.zip        the packed course of its group, where its coach brought one
    questions.json    what it asked its coach, and the answers
"""

from __future__ import annotations

import io
import json
import zipfile
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, NamedTuple

from coach.progress.csvform import write_log

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from datetime import datetime

    from coach.ground.people import Role
    from coach.ground.plan_rows import PlannedRow
    from coach.ground.ports import CourseVersion, Household
    from coach.ground.rows import WrittenRow

FORM = 1
"""The number of this form; one that is changed gets the next."""

HOME, LOG, WRITTEN, PLAN = "home.json", "log.csv", "log-written.json", "plan.json"
PACKED, QUESTIONS = "course.zip", "questions.json"

_FIRST_INSTANT = (1980, 1, 1, 0, 0, 0)
"""What every part is dated, since the same household is to give the same bytes."""

_READABLE = 0o644 << 16


class Named(NamedTuple):
    """Somebody who belongs to a household, or wrote something there.

    Attributes:
        id: Their key.
        name: What they are called.
        role: What they are there; None: they do not belong to it any more.
        since: When they joined, aware; None for those who do not belong to it.
    """

    id: str
    name: str
    role: Role | None = None
    since: datetime | None = None


class Replied(NamedTuple):
    """What a household asked its coach, with the answer.

    Attributes:
        step: The step whose lesson it stands under; empty: a lesson of no step.
        lesson: The number of that lesson from 1; 0: none.
        text: What was asked.
        by: Who asked; empty: the household alone.
        with_name: Whether the coach could see the household's name beside it.
        asked_at: When, aware.
        answer: What was answered; empty: nothing yet.
        answered_at: When, aware.
    """

    step: str
    lesson: int
    text: str
    by: str
    with_name: bool
    asked_at: datetime
    answer: str = ""
    answered_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class HomeFile:
    """Everything of a household.

    Attributes:
        name: What it is called; empty where it has no name.
        home: Its own values.
        people: Those who belong to it in the order in which they joined, then those who only wrote something.
        log: Its log.
        plan: Its plan's history.
        courses: The versions of its course, the oldest first, each with its content.
        packed: The packed course of its group; empty: it followed a shipped one.
        asked: What it asked its coach; read for people, and by no household that it is brought to.
    """

    name: str
    home: Household
    people: tuple[Named, ...]
    log: Sequence[WrittenRow]
    plan: Sequence[PlannedRow]
    courses: tuple[tuple[CourseVersion, str], ...]
    packed: bytes = b""
    asked: tuple[Replied, ...] = ()


def write_home(held: HomeFile) -> bytes:
    """The file."""
    into = io.BytesIO()
    with zipfile.ZipFile(into, "w", zipfile.ZIP_DEFLATED) as file:
        for name, content in _parts(held).items():
            part = zipfile.ZipInfo(name, _FIRST_INSTANT)
            part.compress_type, part.external_attr, part.create_system = zipfile.ZIP_DEFLATED, _READABLE, 3
            file.writestr(part, content)
    return into.getvalue()


def _parts(held: HomeFile) -> Mapping[str, str | bytes]:
    courses = {_course_name(number): content for number, (_, content) in enumerate(held.courses, 1)}
    return {
        HOME: _json(_home(held), indent=1),
        LOG: write_log([one.row for one in held.log], _names(held)),
        WRITTEN: _lines(_written(one) for one in held.log),
        PLAN: _lines(_planned(one) for one in held.plan),
        **courses,
        **({PACKED: held.packed} if held.packed else {}),
        **({QUESTIONS: _lines(_asked(one) for one in held.asked)} if held.asked else {}),
    }


def _course_name(number: int) -> str:
    return f"courses/{number}.json"


def _home(held: HomeFile) -> dict[str, Any]:
    versions = [
        {"since": version.since.isoformat(), "digest": version.digest, "file": _course_name(number)}
        for number, (version, _) in enumerate(held.courses, 1)
    ]
    people = [
        {"id": one.id, "name": one.name, "role": one.role, "since": _instant(one.since)}
        for one in held.people
    ]
    return {
        "steading": "home",
        "form": FORM,
        "name": held.name,
        "course": held.home.course,
        "zone": held.home.zone,
        "day_starts": f"{held.home.day_starts:%H:%M}",
        "week_starts": held.home.week_starts,
        "people": people,
        "versions": versions,
    }


def _names(held: HomeFile) -> list[str]:
    names = {one.id: one.name for one in held.people}
    return [names.get(one.by, "") for one in held.log]


def _written(one: WrittenRow) -> dict[str, Any]:
    return {
        "at": _instant(one.at),
        "by": one.by,
        "tapped_at": _instant(one.tapped_at),
        "imported": one.imported,
    }


def _planned(one: PlannedRow) -> dict[str, Any]:
    row = one.row
    return {
        "date": row.date.isoformat(),
        "what": row.what,
        "key": row.key,
        "value": row.value,
        "at": _instant(one.at),
        "by": one.by,
    }


def _asked(one: Replied) -> dict[str, Any]:
    return one._asdict() | {"asked_at": _instant(one.asked_at), "answered_at": _instant(one.answered_at)}


def _instant(at: datetime | None) -> str | None:
    return None if at is None else at.isoformat()


def _json(value: object, indent: int | None = None) -> str:
    return json.dumps(value, ensure_ascii=False, indent=indent, separators=(",", ":") if not indent else None)


def _lines(rows: Iterable[dict[str, Any]]) -> str:
    """A list with one row on each line, so that a fault is found by its line; the first is on the second."""
    return "[\n" + ",\n".join(map(_json, rows)) + "\n]\n"
