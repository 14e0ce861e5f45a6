"""What a step's file, or a household's own step, may say: checked, read into a step, and changed."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from coach.course.keys import (
    Check,
    Found,
    filled_text,
    list_of,
    one_of,
    optional,
    said,
    shortened,
    table,
    table_faults,
    text,
    truth,
    whole,
)
from coach.course.model import Lesson, Line, Part, Settles, Slot, Step
from coach.course.recurrence import is_weekly_at_most, rule_fault
from coach.errors import Malformed, first_said

if TYPE_CHECKING:
    from collections.abc import Callable

MINUTES_A_DAY = 24 * 60
_SETTLES: dict[str, Check] = {"kept": whole(1), "of": whole(1)}
_LINE: dict[str, Check] = {"title": filled_text, "minutes": whole(0, MINUTES_A_DAY)}
_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,79}")


def _rule(path: str, value: object) -> Found:
    if not isinstance(value, str):
        yield path, f"“{path}” needs a rule such as “FREQ=DAILY”, not {said(value)}"
    elif fault := rule_fault(value):
        yield path, f"“{path}” cannot be used: {fault}"


def _lines(path: str, value: object) -> Found:
    yield from list_of(table(_LINE, tuple(_LINE), STEP_KEYS))(path, value)


def _adjusted_rule(path: str, value: object) -> Found:
    """A household's rule may have a DTSTART, which a job that was moved may need to keep its weeks."""
    if not isinstance(value, str) or rule_fault(value, may_begin=True):
        yield from _rule(path, value)


def _id(path: str, value: object) -> Found:
    found = list(filled_text(path, value))
    yield from found
    if not found and (fault := id_fault(str(value))):
        yield path, fault


def _settles(path: str, value: object) -> Found:
    found = list(table_faults(_SETTLES, path, value, tuple(_SETTLES), STEP_KEYS))
    yield from found
    if not found and isinstance(value, Mapping) and value["kept"] > value["of"]:
        kept, of = value["kept"], value["of"]
        yield path, f"“{path}” wants {kept} kept of only {of}; lower “kept” or raise “of”"


STEP_KEYS: dict[str, Check] = {
    "title": filled_text,
    "why": optional(text),
    "cue": optional(text),
    "small": optional(text),
    "slot": one_of(*Slot),
    "minutes": whole(0, MINUTES_A_DAY),
    "repeats": _rule,
    "after": list_of(filled_text),
    "after_any": list_of(filled_text),
    "settles": _settles,
    "waits": truth,
    "caution": optional(text),
    "lines": _lines,
    "stop_after": optional(whole(1, MINUTES_A_DAY)),
    "works_in": optional(one_of(*Part)),
    "formerly": list_of(_id),
}
ADJUSTABLE = ("title", "cue", "small", "slot", "minutes", "repeats", "settles")
_ADJUSTED: Mapping[str, Check] = {key: STEP_KEYS[key] for key in ADJUSTABLE} | {"repeats": _adjusted_rule}
JOB_KEYS = ("lines", "stop_after")


def id_fault(name: str, of: str = "a step") -> str | None:
    """Say what is wrong with an id, or None: it becomes part of file names and addresses.

    Args:
        name: The id.
        of: Whose it is.
    """
    if _ID.fullmatch(name):
        return None
    return (
        f"“{shortened(name)}” cannot be {of}'s id; use letters from a to z, digits and hyphens, "
        "a letter or digit first, at most 80 in all"
    )


def step_faults(definition: Mapping[str, object]) -> list[tuple[str, str]]:
    """Find every fault of a step's keys: (key, or path such as `settles.kept`; reason)."""
    faults = list(table_faults(STEP_KEYS, "", definition, required=("title",)))
    return faults or list(_job_faults(definition))


def _job_faults(definition: Mapping[str, object]) -> Found:
    """Lines and an end belong to weekday jobs: to steps that fall weekly or less often."""
    rule = definition.get("repeats", Step.__dataclass_fields__["repeats"].default)
    for key in JOB_KEYS:
        if definition.get(key) and not is_weekly_at_most(str(rule)):
            yield key, f"“{key}” is for steps that fall weekly or less often, and this one falls more often"


def step_from(step_id: str, definition: Mapping[str, object], lessons: tuple[Lesson, ...] = ()) -> Step:
    """Read a step from the keys of its file.

    Raises:
        Malformed: The id or some key cannot be used; the text gives every reason.
    """
    faults = [reason for _, reason in step_faults(definition)]
    _raise(([fault] if (fault := id_fault(step_id)) else []) + faults)
    return step_as_defined(step_id, definition, lessons)


def step_as_defined(step_id: str, definition: Mapping[str, object], lessons: tuple[Lesson, ...] = ()) -> Step:
    """The step of a definition that has been checked before."""
    return Step(step_id, lessons=lessons, **_values(definition))


def adjusted(step: Step, changes: Mapping[str, object]) -> Step:
    """Change some of a step's keys; `cue` and `small` may be None, which takes them away.

    Raises:
        Malformed: A key cannot be adjusted or its value cannot be used; the text gives every reason.
    """
    check_changes(changes)
    return changed(step, changes)


def changed(step: Step, changes: Mapping[str, object]) -> Step:
    """The same for changes that have been checked before."""
    return replace(step, **_values(changes))


def check_changes(changes: Mapping[str, object]) -> None:
    """See that these are changes a household may make to a step.

    Raises:
        Malformed: A key cannot be adjusted or its value cannot be used; the text gives every reason.
    """
    _raise([reason for _, reason in table_faults(_ADJUSTED, "", changes)])


def _raise(reasons: list[str]) -> None:
    if reasons:
        raise Malformed(first_said(reasons, "; "))


_CONVERTED: Mapping[str, Callable[[Any], object]] = {
    "slot": Slot,
    "after": tuple,
    "after_any": tuple,
    "settles": lambda settles: Settles(**settles),
    "lines": lambda lines: tuple(Line(**line) for line in lines),
    "works_in": lambda part: Part(part) if part else None,
    "formerly": tuple,
}
_UNSAID = ("why", "cue", "small", "caution")


def _values(definition: Mapping[str, object]) -> dict[str, Any]:
    """The values of checked keys as a step has them; blank texts are none."""
    values = {key: _CONVERTED.get(key, _itself)(value) for key, value in definition.items()}
    return {
        key: None if key in _UNSAID and not str(value or "").strip() else value
        for key, value in values.items()
    }


def _itself(value: object) -> object:
    return value
