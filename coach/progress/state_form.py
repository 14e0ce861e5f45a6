"""A state as JSON text and back, so that the store can keep it."""

from __future__ import annotations

import json
from datetime import date, time
from typing import TYPE_CHECKING, Any

from coach.course.jsonform import brief_values, step_of_values
from coach.progress.state import Pause, Record, State, Yesterday
from coach.progress.strength import Rates

if TYPE_CHECKING:
    from coach.course.model import Course, Step

FORMAT = 4
"""Grows when the JSON of a state changes, so that saved ones of another format are not read."""


def _record_json(record: Record, course: Course) -> dict[str, Any]:
    values: dict[str, Any] = {
        "changes": record.changes,
        "introduced": _day_text(record.introduced),
        "settled": _day_text(record.settled),
        "set_aside": record.set_aside,
        "open_since": _day_text(record.open_since),
        "kept": record.kept,
        "due": record.due,
        # Two rows of values are read in half the time that a pair for each outcome takes.
        "outcomes": [
            [day.toordinal() for day, _ in record.outcomes],
            [kept for _, kept in record.outcomes],
        ],
        "strengths": [record.strength, record.slowest, record.fastest],
        "read": record.read,
    }
    if course.step(record.base.id) is None:
        values["own"], values["free"] = record.own, record.free
        values["step"] = brief_values(record.base)
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


def _record(values: dict[str, Any], position: int, step: Step | None, *, resting: bool) -> Record:
    base = step or step_of_values(values["step"])
    strength, slowest, fastest = values["strengths"]
    days, kept = values["outcomes"]
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
        outcomes=list(zip(map(date.fromordinal, days), kept, strict=True)),
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
    steps = {step.id: step for step in course.steps}
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
            step: _record(record, position, steps.get(step), resting=step in resting)
            for position, (step, record) in enumerate(values["records"].items())
        },
    )
    for record in state.records.values():
        state.refresh(record)
    return state
