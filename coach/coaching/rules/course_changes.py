"""What one version of a course changes in another: steps that are new, gone or renamed, texts and rules."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Literal

from coach.course.jsonform import step_table

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from coach.course.model import Course, Step

StepKind = Literal["new", "gone", "renamed", "reworded"]
TEXT_KEYS = frozenset({"title", "why", "cue", "small"})
"""Keys of a step that are words; all others are rules."""

WHOLE = ""
"""Stands for the course where a step is named."""


@dataclass(frozen=True, slots=True)
class StepChange:
    """A step that is another one by now.

    Attributes:
        step: Its id; of one that is gone, the one it had.
        title: Its title.
        kind: New, gone, renamed (known under another id before), or reworded (its words changed alone).
        before: The id it had; empty unless it was renamed.
    """

    step: str
    title: str
    kind: StepKind
    before: str = ""


@dataclass(frozen=True, slots=True)
class RuleChange:
    """A key of a rule that says something else.

    Attributes:
        step: The step; empty: the course.
        key: The key, as its file has it.
        before: What it said; empty: nothing.
        after: What it says; empty: nothing.
    """

    step: str
    key: str
    before: str
    after: str


def step_changes(old: Course, new: Course) -> tuple[StepChange, ...]:
    """The steps that are new, renamed or reworded, in the new course's order, and those that are gone."""
    went_on = same_steps(old, new)
    return (*_present(old, new, went_on), *_gone(old, went_on))


def same_steps(old: Course, new: Course) -> Mapping[str, str]:
    """The ids in the old course of the steps of the new one, where it had them."""
    found = {}
    for step in new.steps:
        names = [step.id, *step.formerly]
        before = next((name for name in names if old.step(name) is not None), None)
        if before is not None:
            found[step.id] = before
    return found


def _present(old: Course, new: Course, went_on: Mapping[str, str]) -> Iterator[StepChange]:
    for step in new.steps:
        name = went_on.get(step.id)
        before = old.step(name) if name else None
        if before is None:
            yield StepChange(step.id, step.title, "new")
        elif before.id != step.id:
            yield StepChange(step.id, step.title, "renamed", before.id)
        elif _words(before) != _words(step):
            yield StepChange(step.id, step.title, "reworded")


def _gone(old: Course, went_on: Mapping[str, str]) -> Iterator[StepChange]:
    there = set(went_on.values())
    yield from (StepChange(step.id, step.title, "gone") for step in old.steps if step.id not in there)


def _words(step: Step) -> tuple[object, ...]:
    table = step_table(step)
    return (step.lessons, *(table.get(key) for key in sorted(TEXT_KEYS)))


def rule_changes(old: Course, new: Course) -> tuple[RuleChange, ...]:
    """The rules that say something else, those of the course first."""
    went_on = same_steps(old, new)
    anew = {before: present for present, before in went_on.items()}
    found = list(_compared(WHOLE, _numbers(old), _numbers(new)))
    for step in new.steps:
        before = old.step(went_on.get(step.id, ""))
        if before is not None:
            found += _compared(step.id, _rules(before, anew), _rules(step, {}))
    return tuple(found)


def _numbers(course: Course) -> dict[str, str]:
    numbers: dict[str, object] = {
        key: getattr(course, key) for key in ("ramp_days", "at_once", "lapse_after")
    }
    tables = {
        "hold": asdict(course.hold),
        "return": asdict(course.returning),
        "strength": asdict(course.strength),
    }
    for name, values in tables.items():
        numbers |= {f"{name}.{key}": value for key, value in values.items()}
    numbers |= {f"paces.{name}": added for name, added in course.paces.items()}
    return {key: f"{value}" for key, value in numbers.items()}


def _rules(step: Step, anew: Mapping[str, str]) -> dict[str, str]:
    """The rules of a step in words that can be compared, naming other steps by the ids they have anew."""
    table = step_table(step)
    for key in ("after", "after_any"):
        table[key] = [anew.get(name, name) for name in table.get(key, ())]
    return {
        key: _said(value)
        for key, value in table.items()
        if key not in TEXT_KEYS and key != "formerly" and value not in (None, [], ())
    }


def _said(value: object) -> str:
    if isinstance(value, dict):
        return ", ".join(f"{key} {_said(inner)}" for key, inner in value.items())
    if isinstance(value, list | tuple):
        return "; ".join(map(_said, value))
    if isinstance(value, bool):
        return str(value).lower()
    return str(value)


def _compared(step: str, before: Mapping[str, str], after: Mapping[str, str]) -> Iterator[RuleChange]:
    for key in dict.fromkeys((*before, *after)):
        if before.get(key) != after.get(key):
            yield RuleChange(step, key, before.get(key, ""), after.get(key, ""))
