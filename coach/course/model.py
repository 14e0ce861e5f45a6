"""A course as values: its steps, their lessons and the numbers of its rules."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping


class Slot(StrEnum):
    """The part of the day in which a step stands on the checklist, in the checklist's order."""

    MORNING = "morning"
    ANYTIME = "anytime"
    EVENING = "evening"


class Part(StrEnum):
    """A part of the home plan that a step opens and works in (home rules §1)."""

    AREAS = "areas"
    DINNER = "dinner"
    DESK = "desk"
    ERRANDS = "errands"


_MEANT = {
    "area-hour": Part.AREAS,
    "dinner-decided": Part.DINNER,
    "desk-work": Part.DESK,
    "errand-run": Part.ERRANDS,
}
"""What ids meant before a step could say where it works."""


@dataclass(frozen=True, slots=True)
class Lesson:
    """One short text: a title and its Markdown body."""

    title: str
    markdown: str


@dataclass(frozen=True, slots=True)
class Settles:
    """When a practising step counts as settled: `kept` of its latest `of` outcomes."""

    kept: int = 2
    of: int = 3

    def at_pace(self, added: int) -> Settles:
        """The same rule at a pace that adds `added` to both numbers."""
        return Settles(self.kept + added, self.of + added)


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a weekday job: what to do and for how many minutes."""

    title: str
    minutes: int


@dataclass(frozen=True, slots=True)
class Step:
    """One small habit, a node of the progression graph.

    Attributes:
        id: Its name in files, logs and addresses.
        repeats: RFC 5545 rule (DAILY, WEEKLY or MONTHLY); DTSTART is the date of introduction.
        minutes: Minutes it takes on a day it is due.
        after: Every one of these must be settled or set aside before it may come.
        after_any: If not empty, at least one of these must be.
        waits: Whether the next waiting step waits until this one has settled.
        caution: A key of the cautions, or none.
        lines: The lines of a weekday job, if it has any.
        stop_after: Minutes after which a weekday job ends, done or not.
        works_in: The part of the home plan it opens and works in: or none.
        formerly: The ids it had in earlier versions of the course.
    """

    id: str
    title: str
    why: str | None = None
    cue: str | None = None
    small: str | None = None
    slot: Slot = Slot.ANYTIME
    minutes: int = 5
    repeats: str = "FREQ=DAILY"
    after: tuple[str, ...] = ()
    after_any: tuple[str, ...] = ()
    settles: Settles = Settles()
    waits: bool = True
    caution: str | None = None
    lessons: tuple[Lesson, ...] = ()
    lines: tuple[Line, ...] = ()
    stop_after: int | None = None
    works_in: Part | None = None
    formerly: tuple[str, ...] = ()

    @property
    def part(self) -> Part | None:
        """The part of the home plan it works in; a step of an older course keeps what its id meant."""
        return self.works_in or _MEANT.get(self.id)

    @property
    def is_root(self) -> bool:
        """Whether it needs nothing before it."""
        return not self.after and not self.after_any


@dataclass(frozen=True, slots=True)
class Hold:
    """No new step while less than `at_least` of the outcomes of the latest `over` counted days were kept."""

    at_least: float = 0.6
    over: int = 7


@dataclass(frozen=True, slots=True)
class Return:
    """The way back: the half-life of the list in days away, and the share kept that brings one more step."""

    half_life: float = 14
    good_day: float = 0.6666666667


@dataclass(frozen=True, slots=True)
class Strength:
    """The estimate of how automatic a step is.

    Attributes:
        days_to_95: Repetitions to 95 % of full strength (median 66; Lally et al. 2010, doi 10.1002/ejsp.674).
        half_life_missed: Missed occurrences that halve it.
    """

    days_to_95: float = 66
    half_life_missed: float = 46


STANDARD_PACES: Mapping[str, int] = MappingProxyType({"standard": 0, "gentle": 1})


@dataclass(frozen=True, slots=True)
class Course:
    """A progression graph of steps with the numbers of its rules.

    Attributes:
        steps: In course order.
        ramp_days: With everything kept, the standard pace settles every waiting step by the end of this day.
        at_once: How many waiting steps may be practised at a time.
        lapse_after: Empty days in a row that make a lapse.
        paces: What each pace adds to both numbers of every `settles`.
        licence: Under which terms others may use it, in the coach's words; empty: it does not say.
        digest: SHA-256 of the folder's content in hexadecimal, or empty for a course made in memory.
    """

    title: str
    steps: tuple[Step, ...]
    summary: str = ""
    ramp_days: int = 21
    at_once: int = 1
    lapse_after: int = 7
    hold: Hold = Hold()
    returning: Return = Return()
    strength: Strength = Strength()
    paces: Mapping[str, int] = field(default_factory=lambda: STANDARD_PACES)
    digest: str = ""
    licence: str = ""

    @property
    def roots(self) -> tuple[Step, ...]:
        """The steps a household can begin with."""
        return tuple(step for step in self.steps if step.is_root)

    def step(self, step_id: str) -> Step | None:
        """The step of that id, if the course has one."""
        return next((step for step in self.steps if step.id == step_id), None)

    def named(self, step_id: str) -> Step | None:
        """The step of that id, or the one that had it in an earlier version; none if there is neither."""
        return self.step(step_id) or next((step for step in self.steps if step_id in step.formerly), None)


@dataclass(frozen=True, slots=True)
class Caution:
    """A warning that stands beside steps and tasks where work can hurt someone.

    Attributes:
        key: The name steps refer to it by.
        source: Who says so; where nobody was found to quote, that is said.
    """

    key: str
    title: str
    text: str
    source: str
