"""Courses and logs in the engine's form and in the second reading's, and from one to the other."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from coach.course.definition import step_from
from coach.course.jsonform import step_table
from coach.course.model import Course, Hold, Lesson, Return, Step, Strength
from coach.progress.days import iso_date
from coach.progress.log import Row, What
from property.plain_course import STEP_DEFAULTS

if TYPE_CHECKING:
    from collections.abc import Iterable

    from property.plain_log import Row as Texts


def as_course(table: dict[str, Any]) -> Course:
    """The engine's course of one that was drawn."""
    return Course(
        title=table["title"],
        steps=tuple(map(as_step, table["steps"])),
        ramp_days=table["ramp_days"],
        at_once=table["at_once"],
        lapse_after=table["lapse_after"],
        hold=Hold(**table["hold"]),
        returning=Return(**table["return"]),
        strength=Strength(**table["strength"]),
        paces=table["paces"],
    )


def as_step(table: dict[str, Any]) -> Step:
    """The engine's step of one that was drawn; its lessons are as many as it says."""
    keys = {key: value for key, value in table.items() if key not in {"id", "lessons"}}
    lessons = tuple(Lesson(f"{table['id']} {number}", "...") for number in range(1, table["lessons"] + 1))
    return step_from(table["id"], keys, lessons)


def as_table(course: Course) -> dict[str, Any]:
    """The second reading's course of one the engine has."""
    return {
        "lapse_after": course.lapse_after,
        "at_once": course.at_once,
        "hold": asdict(course.hold),
        "return": asdict(course.returning),
        "strength": asdict(course.strength),
        "paces": dict(course.paces),
        "steps": [
            STEP_DEFAULTS | step_table(step) | {"id": step.id, "lessons": len(step.lessons)}
            for step in course.steps
        ],
    }


def as_rows(texts: Iterable[Texts]) -> list[Row]:
    """The engine's rows of a log that was drawn."""
    return [Row(iso_date(on), What(what), step, value) for on, what, step, value in texts]


def as_texts(rows: Iterable[Row]) -> list[Texts]:
    """The second reading's rows of the engine's."""
    return [(row.date.isoformat(), row.what.value, row.step, row.value) for row in rows]
