"""The passes as JSON, to be kept and read again; what is damaged is left aside, since they are a cache."""

from __future__ import annotations

import json
from datetime import date

from coach.areas.rules.passes import Passes
from coach.course.shapes import UNREADABLE, required, shape


def passes_json(passes: Passes) -> str:
    """The passes as JSON, to be kept with the digest of what they were folded from."""
    return json.dumps(
        {
            "through": passes.through.isoformat(),
            "number": passes.number,
            "start": passes.start.isoformat(),
            "in_pass": sorted(passes.in_pass),
            "last_done": {task: day.toordinal() for task, day in sorted(passes.last_done.items())},
            "begun": passes.begun.isoformat(),
            "last_turn": dict(sorted(passes.last_turn.items())),
            "counted": passes.counted,
        },
        separators=(",", ":"),
    )


_KEPT = shape(
    {
        "through": str,
        "number": int,
        "start": str,
        "in_pass": [str],
        "last_done": {str: int},
        "begun": str,
        "last_turn": {str: int},
        "counted": int,
    }
)


def kept_passes(text: str, through: date) -> Passes | None:
    """The passes that `passes_json` wrote, or None if they are damaged: they are a cache.

    Args:
        text: What was kept.
        through: The last date it is said to have folded.
    """
    try:
        passes = passes_from_json(text)
    except UNREADABLE:
        return None
    return passes if passes.through == through and passes.start <= through else None


def passes_from_json(text: str) -> Passes:
    """The passes that `passes_json` wrote; what it did not write raises one of `UNREADABLE`."""
    values = json.loads(text)
    required(values, _KEPT)
    return Passes(
        through=date.fromisoformat(values["through"]),
        number=values["number"],
        start=date.fromisoformat(values["start"]),
        in_pass=set(values["in_pass"]),
        last_done={task: date.fromordinal(day) for task, day in values["last_done"].items()},
        begun=date.fromisoformat(values["begun"]),
        last_turn=values["last_turn"],
        counted=values["counted"],
    )
