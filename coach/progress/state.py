"""The state that replay folds the log into: one working value."""

from __future__ import annotations

from copy import copy
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from coach.course.definition import changed
from coach.progress.days import FIRST_HOUR, FIRST_ZONE
from coach.progress.paces import STANDARD
from coach.progress.strength import Rates

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import date, time

    from coach.course.model import Course, Step

RECENT = 14


@dataclass(slots=True)
class Record:
    """What has happened to one step.

    Attributes:
        base: The step as the course or the household wrote it.
        changes: What the household has adjusted since, by key.
        step: The step as it holds: base, changes and pace together.
        position: Its place in course order; added steps come last.
        open_since: The date its open occurrence fell on.
        outcomes: Date and whether kept; all of them while practising, the latest 14 once settled.
        strength: Estimate for the course's own repetitions to 95 %; `slowest` and `fastest` are its range.
        read: Its lessons that have been the lesson of a day.
        free: The state's `free` when it came; kept for a step of the household's own alone.
    """

    base: Step
    step: Step
    position: int
    own: bool = False
    changes: dict[str, Any] = field(default_factory=dict)
    introduced: date | None = None
    settled: date | None = None
    set_aside: bool = False
    resting: bool = False
    open_since: date | None = None
    kept: int = 0
    due: int = 0
    outcomes: list[tuple[date, bool]] = field(default_factory=list)
    strength: float = 0.0
    slowest: float = 0.0
    fastest: float = 0.0
    read: int = 0
    free: int = 0

    def copy(self) -> Record:
        """The same record, to be changed in thought; a step and what has been adjusted never change."""
        return Record(
            self.base,
            self.step,
            self.position,
            self.own,
            self.changes,
            self.introduced,
            self.settled,
            self.set_aside,
            self.resting,
            self.open_since,
            self.kept,
            self.due,
            list(self.outcomes),
            self.strength,
            self.slowest,
            self.fastest,
            self.read,
            self.free,
        )

    @property
    def active(self) -> bool:
        """Introduced, not resting, not set aside."""
        return self.introduced is not None and not self.resting and not self.set_aside

    @property
    def practised(self) -> bool:
        """Active and not settled yet."""
        return self.settled is None and self.active

    @property
    def is_theirs(self) -> bool:
        """Whether the household has it: it would miss the step."""
        return self.own or self.introduced is not None or self.set_aside

    @property
    def cleared(self) -> bool:
        """Settled or set aside: what `after` and `after_any` ask for."""
        return self.settled is not None or self.set_aside


@dataclass(frozen=True, slots=True)
class Pause:
    """A pause from its date to its last date, both included; without a last date it has an open end."""

    since: date
    until: date | None

    def covers(self, day: date) -> bool:
        """Whether the day lies within it."""
        return self.since <= day and (self.until is None or day <= self.until)


@dataclass(frozen=True, slots=True)
class Yesterday:
    """What the next opening needs to know of the household day before it."""

    paused: bool = False
    lapsed: bool = False
    kept: int = 0
    outcomes: int = 0
    had_checklist: bool = False


@dataclass(slots=True)
class State:
    """A household's whole state after the close of `through`.

    Attributes:
        records: By step id, in course order.
        resting: Ids of the resting steps, in the order in which they come back.
        pause: The latest pause that has not been ended.
        wanted: The step the household wants next.
        ceiling: Most minutes a day for waiting steps.
        counted: Outcomes kept and in all of the latest days that had any.
        gap: Household days since the latest one with a mark (or since the start).
        empty_run: Empty days in a row.
        away: First and last date of every stretch of paused and lapsed days.
        answered: The latest day whose lesson answered a day all missed; `answers` counts such days.
        free: Days so far on which no step's lesson had its turn (rules §8).
    """

    course: Course
    rates: Rates
    started: date
    pace: str
    records: dict[str, Record]
    zone: str = FIRST_ZONE
    day_starts: time = FIRST_HOUR
    resting: list[str] = field(default_factory=list)
    pause: Pause | None = None
    wanted: str = ""
    ceiling: int | None = None
    counted: list[tuple[int, int]] = field(default_factory=list)
    gap: int = 0
    empty_run: int = 0
    lapsed: bool = False
    away: list[tuple[date, date]] = field(default_factory=list)
    yesterday: Yesterday = Yesterday()
    answered: date | None = None
    answers: int = 0
    free: int = 0
    through: date | None = None

    def copy(self) -> State:
        """The same state, to fold further in thought; what never changes is shared."""
        twin = copy(self)
        twin.records = {step_id: record.copy() for step_id, record in self.records.items()}
        twin.resting, twin.counted, twin.away = list(self.resting), list(self.counted), list(self.away)
        return twin

    def refresh(self, record: Record) -> None:
        """Work out a step anew from its base, the household's changes and the pace."""
        step = changed(record.base, record.changes) if record.changes else record.base
        more = self.course.paces.get(self.pace, 0)
        record.step = replace(step, settles=step.settles.at_pace(more)) if more else step

    def follow(self, course: Course) -> None:
        """Follow a new version of the course; a step that vanished stays if the household has it.

        A step that has another id by now goes on under it with all that has happened to it. A pace
        that vanished leaves the standard one.
        """
        renamed = self._renamed(course)
        old = {step_id: record for step_id, record in self.records.items() if step_id not in renamed}
        old |= {present: self.records[former] for former, present in renamed.items()}
        kept_back = [
            record for step_id, record in old.items() if course.step(step_id) is None and record.is_theirs
        ]
        self.course, self.rates, self.records = course, Rates.of(course.strength), {}
        self.pace = self.pace if self.pace in course.paces else STANDARD
        for step in course.steps:
            record = old.get(step.id) or Record(step, step, 0)
            record.base, record.own = step, False
            self.records[step.id] = record
        # They are in order already: those of the course have always stood before the household's own.
        for record in kept_back:
            self.records[record.base.id] = record
        for position, record in enumerate(self.records.values()):
            record.position = position
            record.base = self._without_the_gone(record.base)
            self.refresh(record)
        self.resting = [renamed.get(step_id, step_id) for step_id in self.resting]
        self.wanted = self.present(self.wanted)

    def _renamed(self, course: Course) -> dict[str, str]:
        """The present ids of the steps that have another one in a version of the course, by their former ids.

        What the household has under the present id stays, and so does a step of its own. Where several steps
        have become one, it goes on from the first of them that the household has.
        """
        renamed = {}
        for step in course.steps:
            there = self.records.get(step.id)
            if there is not None and (there.is_theirs or there.changes):
                continue
            former = [name for name in step.formerly if course.step(name) is None and self._is_courses(name)]
            if former:
                theirs = (name for name in former if self.records[name].is_theirs)
                renamed[next(theirs, former[0])] = step.id
        return renamed

    def _is_courses(self, step_id: str) -> bool:
        record = self.records.get(step_id)
        return record is not None and not record.own

    def known(self, step_id: str) -> Record | None:
        """The record of the step that an id means: its own, or one that the step had formerly."""
        record = self.records.get(step_id)
        if record is not None:
            return record
        step = self.course.named(step_id)
        return None if step is None else self.records[step.id]

    def present(self, step_id: str) -> str:
        """The present id of the step that an id means; an id that means none is given back."""
        record = self.known(step_id)
        return step_id if record is None else record.base.id

    def with_present_names(self, step: Step) -> Step:
        """The step, coming after others by their present ids."""
        return _coming_after(step, map(self.present, step.after), map(self.present, step.after_any))

    def _without_the_gone(self, step: Step) -> Step:
        """The step without what it came after and what vanished from the course: that can never settle."""
        step = self.with_present_names(step)
        return _coming_after(
            step,
            (name for name in step.after if name in self.records),
            (name for name in step.after_any if name in self.records),
        )


def _coming_after(step: Step, after: Iterable[str], after_any: Iterable[str]) -> Step:
    """The step, coming after these; itself where it does already."""
    needs = tuple(dict.fromkeys(after)), tuple(dict.fromkeys(after_any))
    return (
        step if needs == (step.after, step.after_any) else replace(step, after=needs[0], after_any=needs[1])
    )


def new_state(course: Course, started: date, pace: str) -> State:
    """The state of a household before its first day opens."""
    state = State(course, Rates.of(course.strength), started, pace, {})
    state.follow(course)
    return state
