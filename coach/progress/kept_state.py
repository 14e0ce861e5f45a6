"""A state that was kept as JSON, read back only if it can be folded on from."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from coach.course.definition import check_changes
from coach.course.shapes import UNREADABLE, required, shape
from coach.errors import Malformed
from coach.progress.state_form import state_of_values

if TYPE_CHECKING:
    from datetime import date

    from coach.course.model import Course
    from coach.progress.state import State

_DAY = (str, None)
_RECORD = {
    "changes": dict,
    "introduced": _DAY,
    "settled": _DAY,
    "set_aside": bool,
    "open_since": _DAY,
    "kept": int,
    "due": int,
    "outcomes": [[int], [bool]],
    "strengths": [(int, float)],
    "read": int,
}
_STATE = shape(
    {
        "started": str,
        "through": str,
        "pace": str,
        "zone": str,
        "day_starts": str,
        "resting": [str],
        "pause": ([str, _DAY], None),
        "wanted": str,
        "ceiling": (int, None),
        "counted": [[int, int]],
        "gap": int,
        "empty_run": int,
        "lapsed": bool,
        "away": [[str, str]],
        "yesterday": [bool, bool, int, int, bool],
        "turns": [_DAY, int, int],
        "records": {str: _RECORD},
    }
)


def kept_state(text: str, course: Course, through: date) -> State | None:
    """The state that `state_json` wrote, or None if it is damaged: it is a cache, and the log is the truth.

    Args:
        text: What was kept.
        course: The course it was folded with.
        through: The last date it is said to have folded.
    """
    try:
        values = json.loads(text)
        required(values, _STATE)
        _check(values, course)
        state = state_of_values(values, course)
    except (*UNREADABLE, Malformed):
        return None
    return state if state.through == through and state.started <= through else None


def _check(values: dict[str, Any], course: Course) -> None:
    """Refuse what has the right shape and cannot be.

    Raises:
        ValueError: There is such a thing, or `Malformed` for a change that a household may not make.
    """
    records = values["records"]
    known = all(step.id in records for step in course.steps) and set(values["resting"]) <= records.keys()
    if not known or values["pace"] not in course.paces:
        raise ValueError("It is another course's.")
    for record in records.values():
        _check_record(record)


def _check_record(record: dict[str, Any]) -> None:
    if not all(0 <= strength <= 1 for strength in record["strengths"]):
        raise ValueError("A strength lies between 0 and 1.")
    if type(record.get("free", 0)) is not int or record["read"] < 0:
        raise ValueError("Days and lessons are counted in whole numbers.")
    if record["changes"]:
        check_changes(record["changes"])
