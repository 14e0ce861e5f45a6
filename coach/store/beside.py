"""What stands beside a lesson of a household: note, questions and answers, by one statement."""

from __future__ import annotations

from datetime import UTC
from typing import TYPE_CHECKING, Any

from sqlalchemy import (
    BigInteger,
    Boolean,
    Date,
    DateTime,
    Text,
    and_,
    bindparam,
    func,
    literal,
    or_,
    select,
    union_all,
)
from sqlmodel import col

from coach.ground.questions import Answer, Beside, Note, Question
from coach.store.coaching_tables import AnswerTable, NoteTable, QuestionTable
from coach.store.instants import aware

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import date, datetime

    from sqlalchemy import Connection

ASKED, SAID, NOTED = "asked", "said", "noted"

_group, _step = bindparam("group", type_=Text()), bindparam("step", type_=Text())
_none, _no, _zero = literal("", Text()), literal(value=False, type_=Boolean()), literal(0, BigInteger())
_answered = and_(
    col(AnswerTable.answer_id) == col(QuestionTable.answer_id),
    col(AnswerTable.group_id) == col(QuestionTable.group_id),
)
_asked: Any = (
    select(
        literal(ASKED, Text()).label("kind"),
        col(QuestionTable.question_id).label("id"),
        col(QuestionTable.person_id).label("person"),
        col(QuestionTable.step).label("step"),
        col(QuestionTable.lesson).label("lesson"),
        col(QuestionTable.text).label("asked"),
        col(QuestionTable.with_name).label("with_name"),
        col(QuestionTable.asked_at).label("at"),
        func.coalesce(col(AnswerTable.answer_id), _none).label("answer"),
        func.coalesce(col(AnswerTable.question), _none).label("worded"),
        func.coalesce(col(AnswerTable.text), _none).label("text"),
        func.coalesce(col(AnswerTable.for_all), _no).label("for_all"),
        col(AnswerTable.answered_at).label("answered_at"),
    )
    .join_from(QuestionTable, AnswerTable, _answered, isouter=True)
    .where(
        col(QuestionTable.group_id) == _group,
        col(QuestionTable.household_id) == bindparam("household", type_=Text()),
        or_(
            col(QuestionTable.step) == _step,
            col(AnswerTable.answered_at) >= bindparam("since", type_=DateTime(timezone=True)),
        ),
    )
)
_said: Any = select(
    literal(SAID, Text()),
    _none,
    _none,
    col(AnswerTable.step),
    _zero,
    _none,
    _no,
    col(AnswerTable.answered_at),
    col(AnswerTable.answer_id),
    col(AnswerTable.question),
    col(AnswerTable.text),
    col(AnswerTable.for_all),
    col(AnswerTable.answered_at),
).where(col(AnswerTable.group_id) == _group, col(AnswerTable.step) == _step, col(AnswerTable.for_all))
_noted: Any = select(
    literal(NOTED, Text()),
    _none,
    _none,
    _none,
    _zero,
    _none,
    _no,
    col(NoteTable.made_at),
    _none,
    _none,
    col(NoteTable.text),
    _no,
    col(NoteTable.made_at),
).where(col(NoteTable.group_id) == _group, col(NoteTable.day) == bindparam("on", type_=Date()))

BESIDE = union_all(_asked, _said, _noted)


def beside_of(
    connection: Connection, group: str, household: str, step: str, on: date, since: datetime
) -> Beside:
    """What stands beside a household's lesson; the arguments are those of the port."""
    about = {"group": group, "household": household, "step": step, "on": on, "since": since.astimezone(UTC)}
    rows = sorted(
        connection.execute(BESIDE, about).all(), key=lambda row: (aware(row.at), row.id, row.answer)
    )
    return Beside(
        next((Note(group, on, row.text, aware(row.at)) for row in _of(rows, NOTED)), None),
        [(_question(group, household, row), _answer(group, row)) for row in _of(rows, ASKED)],
        [answer for row in _of(rows, SAID) if (answer := _answer(group, row)) is not None],
    )


def _of(rows: Iterable[Any], kind: str) -> Iterable[Any]:
    return (row for row in rows if row.kind == kind)


def _question(group: str, household: str, row: Any) -> Question:  # noqa: ANN401  a row of the database
    return Question(
        row.id,
        group,
        household,
        row.person,
        row.step,
        row.lesson,
        row.asked,
        with_name=bool(row.with_name),
        asked_at=aware(row.at),
        answer=row.answer,
    )


def _answer(group: str, row: Any) -> Answer | None:  # noqa: ANN401  the same
    if not row.answer:
        return None
    at = aware(row.answered_at)
    return Answer(
        row.answer, group, row.step, row.worded, row.text, for_all=bool(row.for_all), answered_at=at
    )
