"""What a coach says to a group on a date, once on today's page of that date, and what is put away of it."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from coach.coaching.answers import Notes, NoteView
from coach.coaching.groups import coach_day, group_of
from coach.coaching.texts import tidy_text
from coach.errors import Malformed, NotEditable
from coach.ground.plan_rows import Asked
from coach.ground.questions import Note
from coach.ground.writing import to_plan, written

if TYPE_CHECKING:
    from datetime import date

    from coach.ground.people import Caller
    from coach.ground.ports import Context
    from coach.ground.situation import Situation
    from coach.ground.writing import Decision

AWAY = "note-away"
"""The kind of the plan's rows that say on which date a note was put away."""

AHEAD = timedelta(days=366)
"""So far ahead a note can be written."""

BEHIND = timedelta(days=1)
"""So far behind: somewhere it may still be yesterday, by whose clocks the coach is told nothing."""

NO_NOTE = "Nothing is said on that date."


def notes(context: Context, caller: Caller, group: str) -> Notes:
    """Everything a coach says to a group, the latest date first.

    Raises:
        Unknown: There is no such group, or it is somebody else's.
    """
    with context.store.coaching_reading() as reading:
        group_of(reading, caller, group)
        return Notes(tuple(NoteView(one.on, one.text) for one in reading.notes(group)))


def note_on(context: Context, caller: Caller, group: str, on: date) -> NoteView | None:
    """What is said on a date, if anything.

    Raises:
        Unknown: There is no such group, or it is somebody else's.
    """
    with context.store.coaching_reading() as reading:
        group_of(reading, caller, group)
        found = reading.note(group, on)
    return NoteView(found.on, found.text) if found else None


def put_note(context: Context, caller: Caller, group: str, on: date, text: str) -> NoteView:
    """Say something on a date, in the place of what was to be said; one date says one thing.

    Raises:
        Unknown: There is no such group, or it is somebody else's.
        Malformed: It says nothing, or is too long.
        NotEditable: The date is over, or lies too far ahead.
    """
    said = tidy_text(text, "A note")
    today = coach_day(context)
    if not today - BEHIND <= on <= today + AHEAD:
        raise NotEditable(
            "A note is for today or a date within the year to come. What was said on earlier dates stays."
        )
    with context.store.coaching_writing() as writing:
        group_of(writing, caller, group)
        writing.put_note(Note(group, on, said, context.clock()))
    return NoteView(on, said)


def drop_note(context: Context, caller: Caller, group: str, on: date) -> None:
    """Say nothing on a date; nothing happens where nothing is said.

    Raises:
        Unknown: There is no such group, or it is somebody else's.
    """
    with context.store.coaching_writing() as writing:
        group_of(writing, caller, group)
        writing.drop_note(group, on)


def put_away(context: Context, household: str, on: date) -> None:
    """Put the note of a date away, for all of a household; put away again it stays so.

    Raises:
        NotStarted: The household has not started.
        Malformed: The date is not one on which the household can see a note.
    """

    def decide(where: Situation) -> Decision[None]:
        if on != where.today:
            raise NotEditable("Only today\u2019s note can be put away; others stand on no page.")
        return to_plan(() if is_away(where, on) else [where.row(AWAY, on.isoformat(), value=True)])

    written(context, household, decide, _nothing)


def needed(where: Situation) -> list[Asked]:
    """What of the plan says whether today's note was put away, where a household is in a group."""
    key = where.today.isoformat()
    return [Asked(AWAY, key, key)] if where.home.group else []


def is_away(where: Situation, on: date) -> bool:
    """Whether the note of a date was put away."""
    return where.plan.read_one(AWAY, on.isoformat(), _yes) is True


def _yes(_key: str, value: object) -> bool:
    """Whether it was put away, as it is kept.

    Raises:
        Malformed: It is neither yes nor no.
    """
    if not isinstance(value, bool):
        raise Malformed(NO_NOTE)
    return value


def _nothing(_where: Situation, _value: None) -> None:
    return None
