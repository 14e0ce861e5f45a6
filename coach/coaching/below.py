"""What stands below a lesson of a household in a group: the coach's note, questions and answers."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from coach.coaching.answers import NoteView, OwnQuestion, SaidToAll
from coach.coaching.notes import is_away
from coach.coaching.questions import own_question, said_to_all, titles_in

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date, datetime

    from coach.ground.ports import Context
    from coach.ground.situation import Situation

LATELY = timedelta(days=3)
"""So long an answer to what was asked under another lesson stands on today's page."""


@dataclass(frozen=True, slots=True)
class Lesson:
    """A lesson under which a household in a group can ask.

    Attributes:
        group: The group.
        household: The household.
        step: The step it belongs to; empty: none.
        on: The household's date.
        put_away: Whether the note of that date was put away.
        titles: What the steps are called.
    """

    group: str
    household: str
    step: str
    on: date
    put_away: bool
    titles: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Below:
    """What stands below it.

    Attributes:
        note: What the coach says that day, unless it was put away.
        own: What the household asked under the lessons of that step.
        lately: What it asked elsewhere and was answered lately.
        said: What else was answered to all of the group under that step.
    """

    note: NoteView | None
    own: tuple[OwnQuestion, ...]
    lately: tuple[OwnQuestion, ...]
    said: tuple[SaidToAll, ...]


def lesson_in(where: Situation, step: str | None) -> Lesson | None:
    """A lesson of a household, if it is in a group; else nothing is read, and nothing stands below."""
    if not where.home.group:
        return None
    put_away = is_away(where, where.today)
    return Lesson(where.home.group, where.home.id, step or "", where.today, put_away, titles_in(where))


def below(context: Context, lesson: Lesson) -> Below:
    """What stands below a lesson, by one statement; asked once the household's own transaction has ended."""
    since = context.clock() - LATELY
    with context.store.coaching_reading() as reading:
        found = reading.beside(lesson.group, lesson.household, lesson.step, lesson.on, since)
    own = [own_question(one, answer, lesson.titles) for one, answer in found.asked]
    here = {one.question for one in own if one.step == lesson.step and _stays(one, since)}
    seen = {answer.id for _, answer in found.asked if answer is not None}
    return Below(
        note=NoteView(found.note.on, found.note.text) if found.note and not lesson.put_away else None,
        own=tuple(one for one in own if one.question in here),
        lately=tuple(one for one in own if one.answer and one.step != lesson.step),
        said=tuple(said_to_all((one for one in found.said if one.id not in seen), lesson.titles)),
    )


def _stays(one: OwnQuestion, since: datetime) -> bool:
    """Whether a question stands: under a step's lessons always, else until its answer was to be read."""
    return bool(one.step) or one.answered_at is None or one.answered_at >= since
