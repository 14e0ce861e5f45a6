"""A course as JSON text and back, unchanged: so the store can keep what a course was."""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from coach.course.definition import step_as_defined
from coach.course.model import Course, Hold, Lesson, Return, Step, Strength
from coach.course.rule import rule_of
from coach.course.shapes import UNREADABLE, required, shape
from coach.errors import Malformed

if TYPE_CHECKING:
    from collections.abc import Mapping

_NUMBER = (int, float)
_COURSE = shape(
    {
        "title": str,
        "summary": str,
        "ramp_days": int,
        "at_once": int,
        "lapse_after": int,
        "digest": str,
        "hold": {"at_least": _NUMBER, "over": int},
        "return": {"half_life": _NUMBER, "good_day": _NUMBER},
        "strength": {"days_to_95": _NUMBER, "half_life_missed": _NUMBER},
        "paces": {str: int},
        "steps": [dict],
    }
)
_STEP = shape({"id": str, "definition": dict, "lessons": [{"title": str, "markdown": str}]})
_DEFINITION = {
    key: shape(part)
    for key, part in {
        "title": str,
        "why": (str, None),
        "cue": (str, None),
        "small": (str, None),
        "caution": (str, None),
        "minutes": int,
        "repeats": str,
        "after": [str],
        "after_any": [str],
        "waits": bool,
        "settles": {"kept": int, "of": int},
        "lines": [{"title": str, "minutes": int}],
        "stop_after": (int, None),
        "works_in": (str, None),
        "formerly": [str],
    }.items()
}
_NUMBERS = ("title", "summary", "ramp_days", "at_once", "lapse_after", "digest")


def step_table(step: Step) -> dict[str, Any]:
    """A step as the keys of its file, without its id and its lessons; `step_from` reads it back."""
    table = asdict(step)
    del table["id"], table["lessons"]
    return {key: value for key, value in table.items() if value is not None and (key != "formerly" or value)}


def course_json(course: Course) -> str:
    """Write a course as JSON, digest and all."""
    written = {key: getattr(course, key) for key in _NUMBERS} | {
        "hold": asdict(course.hold),
        "return": asdict(course.returning),
        "strength": asdict(course.strength),
        "paces": dict(course.paces),
        "steps": [step_values(step) for step in course.steps],
    }
    if course.licence:
        written["licence"] = course.licence
    return json.dumps(written, ensure_ascii=False, separators=(",", ":"))


def step_values(step: Step) -> dict[str, Any]:
    """A step whole, with its id and its lessons; `step_of_values` reads it back."""
    lessons = [asdict(lesson) for lesson in step.lessons]
    return {"id": step.id, "definition": step_table(step), "lessons": lessons}


_USUAL = step_table(Step("", ""))


def brief_values(step: Step) -> dict[str, Any]:
    """The same without the keys that are as they would be if nobody had said them."""
    values = step_values(step)
    definition = values["definition"].items()
    values["definition"] = {key: value for key, value in definition if value != _USUAL.get(key, "")}
    return values


def course_from_json(text: str) -> Course:
    """Read what `course_json` wrote.

    Raises:
        Malformed: The text is something else.
    """
    try:
        return _course(json.loads(text))
    except (*UNREADABLE, Malformed) as error:
        raise Malformed(
            "This is not a course as it was saved; take it from the course's folder again."
        ) from error


def _course(saved: Mapping[str, Any]) -> Course:
    required(saved, _COURSE)
    return Course(
        steps=tuple(step_of_values(step) for step in saved["steps"]),
        hold=Hold(**saved["hold"]),
        returning=Return(**saved["return"]),
        strength=Strength(**saved["strength"]),
        paces=saved["paces"],
        licence=str(saved.get("licence", "")),
        **{key: saved[key] for key in _NUMBERS},
    )


def step_of_values(saved: Mapping[str, Any]) -> Step:
    """The step that `step_values` wrote.

    Raises:
        Malformed: Its rule cannot be read; anything of `UNREADABLE` for what else cannot.
    """
    required(saved, _STEP)
    definition = saved["definition"]
    for key in definition.keys() & _DEFINITION.keys():
        required(definition[key], _DEFINITION[key])
    rule_of(definition.get("repeats", Step.__dataclass_fields__["repeats"].default))
    lessons = tuple(Lesson(**lesson) for lesson in saved["lessons"])
    return step_as_defined(saved["id"], saved["definition"], lessons)
