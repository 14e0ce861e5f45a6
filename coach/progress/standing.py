"""Where a household stands as a day opens: a frozen value for pages, JSON and the replay command."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, Any

from coach.progress import returning, unlocking
from coach.progress.opening import Opening, Phase, checklist, open_occurrences
from coach.progress.state import RECENT, Pause, Record, State

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date, time

    from coach.course.model import Course, Step
    from coach.progress.log import Mark
    from coach.progress.turns import StepLesson, Turn


class Stand(StrEnum):
    """Where a step stands; a step that has not come is `ahead`."""

    AHEAD = "ahead"
    PRACTISING = "practising"
    SETTLED = "settled"
    RESTING = "resting"
    SET_ASIDE = "set-aside"


ON_THE_LIST = frozenset({Stand.PRACTISING, Stand.SETTLED})
"""Where steps stand that are on the list of the days on which they fall."""


@dataclass(frozen=True, slots=True)
class StepStanding:
    """Where one step stands as the day opens.

    Attributes:
        step: As it holds on that day.
        own: Whether the household added it.
        set_aside: Whether it is set aside, which a step that never came can be too.
        kept: Outcomes kept, closed before the day; `due` is the number of all.
        strength: The estimate, 0 to 1; `slowest` and `fastest` are its range.
        recent: Date and whether kept of the latest 14 outcomes.
        read: Its lessons that were the lesson of a day before this one.
        free: Of one of the household's own, the standing's `free` when it came.
        lifted: How many of the `settles.kept` bars of its gate are lifted.
    """

    step: Step
    state: Stand
    own: bool
    set_aside: bool
    introduced_on: date | None
    settled_on: date | None
    kept: int
    due: int
    strength: float
    slowest: float
    fastest: float
    open_since: date | None
    recent: tuple[tuple[date, bool], ...]
    read: int
    free: int
    settling: unlocking.Reason
    lifted: int
    unlocked: bool


@dataclass(frozen=True, slots=True)
class Standing:
    """Where a household stands as `on` opens, before its own marks close.

    Attributes:
        day: 1 on the start date; counts calendar days.
        introduced: The step that came by its turn.
        checklist: Step ids; on a lapsed day those the household would return to.
        steps: Every step known, in course order.
        resting: The resting steps in the order in which they come back.
        comeback: What a return brought today, or on a lapsed day would bring.
        reasons: Why the next step has not come.
        turn: What the lesson of the day is about.
        lesson: The step whose lesson it is and the lesson's number, if it is one of a step's.
        answers: Days before this one whose lesson answered a day all missed.
        free: Days before this one on which no step's lesson had its turn.
        away: First and last date of every stretch of paused and lapsed days before this one.
    """

    on: date
    day: int
    phase: Phase
    course: Course
    introduced: str | None
    checklist: tuple[str, ...]
    steps: Mapping[str, StepStanding]
    resting: tuple[str, ...]
    marks: Mapping[str, Mark]
    comeback: returning.Comeback | None
    pause: Pause | None
    reasons: tuple[unlocking.Reason, ...]
    turn: Turn
    lesson: StepLesson | None
    answers: int
    free: int
    away: tuple[tuple[date, date], ...]
    started: date
    pace: str
    zone: str
    day_starts: time
    ceiling: int | None
    wanted: str

    def place(self, step_id: str) -> StepStanding | None:
        """Where the step stands that an id means: its own, or one that the step had formerly."""
        place = self.steps.get(step_id)
        if place is not None:
            return place
        step = self.course.named(step_id)
        return None if step is None else self.steps[step.id]


def standing_of(state: State, opening: Opening) -> Standing:
    """The standing that a state and the opening of its day amount to."""
    lapsed = opening.phase is Phase.LAPSED
    would_be, would_list = _would_return(state, opening.date) if lapsed else (None, ())
    return Standing(
        on=opening.date,
        day=(opening.date - state.started).days + 1,
        phase=opening.phase,
        course=state.course,
        introduced=opening.introduced,
        checklist=would_list if lapsed else opening.checklist,
        steps={step_id: _step_standing(state, record) for step_id, record in state.records.items()},
        resting=tuple(state.resting),
        marks=opening.marks,
        comeback=would_be or opening.comeback,
        pause=state.pause,
        reasons=_reasons(state, opening),
        turn=opening.turn,
        lesson=opening.lesson,
        answers=state.answers,
        free=state.free,
        away=tuple(state.away),
        started=state.started,
        pace=state.pace,
        zone=state.zone,
        day_starts=state.day_starts,
        ceiling=state.ceiling,
        wanted=state.wanted,
    )


def _would_return(state: State, day: date) -> tuple[returning.Comeback, tuple[str, ...]]:
    imagined = state.copy()
    comeback = returning.come_back(imagined, "")
    open_occurrences(imagined, day)
    return comeback, checklist(imagined)


def _reasons(state: State, opening: Opening) -> tuple[unlocking.Reason, ...]:
    if opening.phase is Phase.PAUSED:
        return (unlocking.Reason("paused"),)
    if opening.phase is Phase.LAPSED:
        return (unlocking.Reason("lapsed"),)
    if opening.comeback is not None and not state.resting:
        return (unlocking.Reason("returning"),)
    return unlocking.reasons(state)


def stand_of(record: Record) -> Stand:
    """Where a step stands by what has happened to it."""
    if record.introduced is None:
        return Stand.AHEAD
    if record.set_aside:
        return Stand.SET_ASIDE
    if record.resting:
        return Stand.RESTING
    return Stand.PRACTISING if record.settled is None else Stand.SETTLED


def _step_standing(state: State, record: Record) -> StepStanding:
    return StepStanding(
        step=record.step,
        state=stand_of(record),
        own=record.own,
        set_aside=record.set_aside,
        introduced_on=record.introduced,
        settled_on=record.settled,
        kept=record.kept,
        due=record.due,
        strength=record.strength,
        slowest=record.slowest,
        fastest=record.fastest,
        open_since=record.open_since,
        recent=tuple(record.outcomes[-RECENT:]),
        read=record.read,
        free=record.free,
        settling=unlocking.settling(record),
        lifted=unlocking.lifted(record),
        unlocked=unlocking.is_unlocked(state, record),
    )


def replay_json(standing: Standing) -> dict[str, Any]:
    """The object the replay command prints (rules §7)."""
    return {
        "on": standing.on.isoformat(),
        "day": standing.day,
        "phase": standing.phase.value,
        "introduced": standing.introduced,
        "lesson": None if standing.lesson is None else list(standing.lesson),
        "checklist": list(standing.checklist),
        "steps": {
            step_id: {
                "state": step.state.value,
                "introduced_on": step.introduced_on.isoformat(),
                "settled_on": None if step.settled_on is None else step.settled_on.isoformat(),
                "kept": step.kept,
                "due": step.due,
                "strength": round(step.strength, 6),
            }
            for step_id, step in standing.steps.items()
            if step.introduced_on is not None
        },
    }
