"""Where a step and a day stand, as the second reading keeps them (rules.md §1 and §7)."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from property.plain_course import Course, falls

if TYPE_CHECKING:
    from datetime import date


@dataclass
class Step:
    """Where one step stands; `words` is its definition with every adjustment so far."""

    name: str
    order: int
    words: Course
    introduced_on: date | None = None
    settled_on: date | None = None
    set_aside: bool = False
    resting: bool = False
    open_occurrence: bool = False
    outcomes: list[bool] = field(default_factory=list)
    strength: float = 0.0

    @property
    def active(self) -> bool:
        return self.introduced_on is not None and not self.resting and not self.set_aside  # 5.7

    def falls_on(self, day: date) -> bool:
        return self.introduced_on is not None and falls(self.words["repeats"], self.introduced_on, day)


@dataclass
class Day:
    """What is known of one household day, marks included."""

    on: date
    marks: dict[str, str]
    paused: bool = False
    lapsed: bool = False
    returned: bool = False
    introduced: str | None = None
    opened: bool = False
    checklist: list[str] = field(default_factory=list)
    outcomes: list[bool] = field(default_factory=list)
    opened_with_resting: bool = False
    lesson: list[Any] | None = None  # the step and the number of the lesson, as §7 gives them
    answered: bool = False  # its text answers a day all missed


def step_standing(step: Step) -> dict[str, Any]:
    """§7; Reading: `settled_on` is always there, and null until the step has settled."""
    assert step.introduced_on is not None
    state = "settled" if step.settled_on else "practising"
    return {
        "state": "set-aside" if step.set_aside else "resting" if step.resting else state,
        "introduced_on": step.introduced_on.isoformat(),
        "settled_on": step.settled_on.isoformat() if step.settled_on else None,
        "kept": sum(step.outcomes),
        "due": len(step.outcomes),
        "strength": round(step.strength, 6),
    }
