"""What households ask their coach, what is answered, and what the coach says to a group."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date, datetime


@dataclass(frozen=True, slots=True)
class Question:
    """What a household asked its coach under a lesson.

    Attributes:
        id: Its key.
        group: The group it was asked in.
        household: The household that asked.
        person: Who asked; empty: the household alone.
        step: The step whose lesson it stands under; empty: a lesson of no step.
        lesson: The number of that lesson from 1; 0: none.
        text: What was asked, plain text.
        with_name: Whether the coach may see the household's name beside it.
        asked_at: When, aware.
        together: The id of the question it is put together with; empty: it stands by itself.
        apart: Whether the coach said that it stands by itself, so that nothing is suggested again.
        answer: The id of its answer; empty: none yet.
    """

    id: str
    group: str
    household: str
    person: str
    step: str
    lesson: int
    text: str
    with_name: bool
    asked_at: datetime
    together: str = ""
    apart: bool = False
    answer: str = ""


@dataclass(frozen=True, slots=True)
class Answer:
    """What a coach answered to one or several questions.

    Attributes:
        id: Its key.
        group: The group.
        step: The step whose lesson it stands under.
        question: The question as the coach words it for all, without names; empty: it is not for all.
        text: The answer.
        for_all: Whether it stands below that lesson for all of the group.
        answered_at: When, aware.
    """

    id: str
    group: str
    step: str
    question: str
    text: str
    for_all: bool
    answered_at: datetime


class Note(NamedTuple):
    """What a coach says to a group on a date."""

    group: str
    on: date
    text: str
    made_at: datetime


class Beside(NamedTuple):
    """What stands beside a lesson of a household, read by one statement.

    Attributes:
        note: What the coach says that day.
        asked: What the household asked under the lesson's step, or was answered lately, in the order in which
            it was asked, each with its answer.
        said: What was answered to all of the group under that step, in the order in which it was.
    """

    note: Note | None
    asked: Sequence[tuple[Question, Answer | None]]
    said: Sequence[Answer]
