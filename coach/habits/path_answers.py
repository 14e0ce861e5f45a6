"""What the use cases answer about the path and a step, as pages and JSON render it."""

# Pydantic reads these annotations at run time.
import datetime as dt
from dataclasses import dataclass
from typing import Literal

from coach.ground.cautions import CautionView
from coach.ground.parts import PartName
from coach.habits.answers import LessonView, StateName
from coach.habits.notes import SlotName


@dataclass(frozen=True, slots=True)
class GateView:
    """A step's gate, which lets in what comes after it.

    Attributes:
        bars: How many of its latest outcomes must be kept for it to settle.
        lifted: The most that were kept so far among as many in turn as the rule looks at; all once it is
            settled or set aside.
    """

    bars: int
    lifted: int


@dataclass(frozen=True, slots=True)
class PathStep:
    """A step on the path.

    Attributes:
        state: Where it stands, or `ahead` if it has not come.
        kept: Outcomes kept.
        due: Outcomes in all.
        strength: The estimate of how automatic it is, 0 to 1, for the median of 66 repetitions.
        strength_range: The same for 254 and 18 repetitions (Lally et al. 2010).
        own: Whether the household added it.
        needs: In words, what it waits for; empty if nothing.
        gate: How far it is from letting in what comes after it.
    """

    step: str
    title: str
    state: StateName
    after: tuple[str, ...]
    after_any: tuple[str, ...]
    introduced_on: dt.date | None
    settled_on: dt.date | None
    kept: int
    due: int
    strength: float
    strength_range: tuple[float, float]
    waits: bool
    repeats: str
    own: bool
    needs: str
    gate: GateView


@dataclass(frozen=True, slots=True)
class Path:
    """The progression graph as the household stands on it.

    Attributes:
        steps: In course order.
        next: The step that comes next if everything is kept.
    """

    course: str
    title: str
    summary: str
    started: bool
    steps: tuple[PathStep, ...]
    next: str | None


@dataclass(frozen=True, slots=True)
class OutcomeView:
    """How one occurrence closed, on the date it closed."""

    date: dt.date
    outcome: Literal["kept", "missed"]


@dataclass(frozen=True, slots=True)
class StepView:
    """One step with all a household can see and choose.

    Attributes:
        path: Its place on the path.
        repeats_text: Its rule in words.
        weekdays: The RFC 5545 weekdays of a plain weekly rule; empty for a daily one; none for another rule.
        works_in: The part of the home plan it works in, if it does.
        lessons: Its lessons so far.
        recent: Its latest outcomes, at most 14, oldest first.
        latest_kept: Outcomes kept among the latest `settles_of`.
        latest_seen: How many of these there are so far.
        gate: How far it is from letting in what comes after it.
        can: The choices that make sense now: `next`, `set-aside`, `restore`, `adjust`.
    """

    step: str
    title: str
    state: StateName
    why: str | None
    cue: str | None
    small: str | None
    slot: SlotName
    minutes: int
    repeats: str
    repeats_text: str
    weekdays: tuple[str, ...] | None
    settles_kept: int
    settles_of: int
    waits: bool
    works_in: PartName | None
    caution: CautionView | None
    lessons: tuple[LessonView, ...]
    recent: tuple[OutcomeView, ...]
    latest_kept: int
    latest_seen: int
    gate: GateView
    kept: int
    due: int
    introduced_on: dt.date | None
    settled_on: dt.date | None
    strength: float
    strength_range: tuple[float, float]
    after: tuple[str, ...]
    after_any: tuple[str, ...]
    needs: str
    own: bool
    can: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CatalogueStep:
    """An optional step a household can add."""

    step: str
    title: str
    why: str | None
    cue: str | None
    small: str | None
    slot: SlotName
    minutes: int
    repeats: str
    repeats_text: str
    caution: CautionView | None
    added: bool
