"""The state that replay folds the log into: one working value, which can be written as JSON and kept."""

from __future__ import annotations

import json
from copy import copy
from dataclasses import dataclass, field, replace
from datetime import date, time
from typing import TYPE_CHECKING, Any

from coach.course.definition import changed
from coach.course.jsonform import step_of_values, step_values
from coach.progress.days import FIRST_HOUR, FIRST_ZONE
from coach.progress.strength import Rates

if TYPE_CHECKING:
    from coach.course.model import Course, Step

RECENT = 14
FORMAT = 3
"""Grows when the JSON of a state changes, so that saved ones of another format are not read."""


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
        """Follow a new version of the course; a step that vanished stays if the household has it."""
        old = self.records
        kept_back = [
            record
            for step_id, record in old.items()
            if course.step(step_id) is None and (record.own or record.introduced or record.set_aside)
        ]
        self.course, self.rates, self.records = course, Rates.of(course.strength), {}
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

    def _without_the_gone(self, step: Step) -> Step:
        """The step without what it came after and what vanished from the course: that can never settle."""
        after, after_any = (
            tuple(name for name in names if name in self.records) for names in (step.after, step.after_any)
        )
        return (
            step
            if (after, after_any) == (step.after, step.after_any)
            else replace(step, after=after, after_any=after_any)
        )


def new_state(course: Course, started: date, pace: str) -> State:
    """The state of a household before its first day opens."""
    state = State(course, Rates.of(course.strength), started, pace, {})
    state.follow(course)
    return state


def _record_json(record: Record, course: Course) -> dict[str, Any]:
    values: dict[str, Any] = {
        "changes": record.changes,
        "introduced": _day_text(record.introduced),
        "settled": _day_text(record.settled),
        "set_aside": record.set_aside,
        "open_since": _day_text(record.open_since),
        "kept": record.kept,
        "due": record.due,
        "outcomes": [[day.toordinal(), kept] for day, kept in record.outcomes],
        "strengths": [record.strength, record.slowest, record.fastest],
        "read": record.read,
    }
    if course.step(record.base.id) is None:
        values["own"], values["free"] = record.own, record.free
        values["step"] = step_values(record.base)
    return values


def _day_text(day: date | None) -> str | None:
    return None if day is None else day.isoformat()


def _day(text: str | None) -> date | None:
    return None if text is None else date.fromisoformat(text)


def state_json(state: State) -> str:
    """The state as JSON, without the course, whose digest the saved standing names."""
    yesterday = state.yesterday
    return json.dumps(
        {
            "started": state.started.isoformat(),
            "through": _day_text(state.through),
            "pace": state.pace,
            "zone": state.zone,
            "day_starts": state.day_starts.isoformat("minutes"),
            "resting": state.resting,
            "pause": state.pause and [state.pause.since.isoformat(), _day_text(state.pause.until)],
            "wanted": state.wanted,
            "ceiling": state.ceiling,
            "counted": state.counted,
            "gap": state.gap,
            "empty_run": state.empty_run,
            "lapsed": state.lapsed,
            "away": [[first.isoformat(), last.isoformat()] for first, last in state.away],
            "yesterday": [
                yesterday.paused,
                yesterday.lapsed,
                yesterday.kept,
                yesterday.outcomes,
                yesterday.had_checklist,
            ],
            "turns": [_day_text(state.answered), state.answers, state.free],
            "records": {step: _record_json(record, state.course) for step, record in state.records.items()},
        },
        separators=(",", ":"),
    )


def _record(step_id: str, values: dict[str, Any], position: int, course: Course, *, resting: bool) -> Record:
    base = course.step(step_id) or step_of_values(values["step"])
    strength, slowest, fastest = values["strengths"]
    return Record(
        base=base,
        step=base,
        position=position,
        own=values.get("own", False),
        changes=values["changes"],
        introduced=_day(values["introduced"]),
        settled=_day(values["settled"]),
        set_aside=values["set_aside"],
        resting=resting,
        open_since=_day(values["open_since"]),
        kept=values["kept"],
        due=values["due"],
        outcomes=[(date.fromordinal(day), bool(kept)) for day, kept in values["outcomes"]],
        strength=strength,
        slowest=slowest,
        fastest=fastest,
        read=values["read"],
        free=values.get("free", 0),
    )


def state_of_values(values: dict[str, Any], course: Course) -> State:
    """The state whose values `state_json` wrote, for the course it was folded with."""
    resting = values["resting"]
    pause = values["pause"]
    answered, answers, free = values["turns"]
    state = State(
        course=course,
        rates=Rates.of(course.strength),
        started=date.fromisoformat(values["started"]),
        through=_day(values["through"]),
        pace=values["pace"],
        zone=values["zone"],
        day_starts=time.fromisoformat(values["day_starts"]),
        resting=resting,
        pause=pause and Pause(date.fromisoformat(pause[0]), _day(pause[1])),
        wanted=values["wanted"],
        ceiling=values["ceiling"],
        counted=[(kept, outcomes) for kept, outcomes in values["counted"]],
        gap=values["gap"],
        empty_run=values["empty_run"],
        lapsed=values["lapsed"],
        away=[(date.fromisoformat(first), date.fromisoformat(last)) for first, last in values["away"]],
        yesterday=Yesterday(*values["yesterday"]),
        answered=_day(answered),
        answers=answers,
        free=free,
        records={
            step: _record(step, record, position, course, resting=step in resting)
            for position, (step, record) in enumerate(values["records"].items())
        },
    )
    for record in state.records.values():
        state.refresh(record)
    return state
