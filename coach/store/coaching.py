"""Groups and what belongs to them, inside one transaction of a database."""

from __future__ import annotations

from dataclasses import asdict
from datetime import UTC
from typing import TYPE_CHECKING, Any

from coach.ground.groups import Group, HeldVersion, KeptCourse
from coach.ground.questions import Answer, Note, Question
from coach.store import coaching_statements as statements
from coach.store.answered import answer_to, keep_answer
from coach.store.beside import beside_of
from coach.store.instants import aware
from coach.store.wall import look_into

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date, datetime

    from sqlalchemy import Connection
    from sqlalchemy.sql import Executable

    from coach.ground.answered import Answered
    from coach.ground.questions import Beside


class SqlCoachingReading:
    """Groups inside one transaction that reads."""

    def __init__(self, connection: Connection) -> None:
        self.connection = connection

    def is_coach(self, person: str) -> bool:
        """Whether somebody may coach groups."""
        return self._run(statements.IS_COACH, coach=person).first() is not None

    def groups(self, coach: str) -> Sequence[Group]:
        """Somebody's groups, in the order in which they were made."""
        return [_group(row) for row in self._run(statements.GROUPS, coach=coach).all()]

    def group(self, group: str) -> Group | None:
        """One of them."""
        found = self._run(statements.ONE_GROUP, group=group).one_or_none()
        return None if found is None else _group(found)

    def kept_courses(self, coach: str) -> Sequence[KeptCourse]:
        """Every version of the courses somebody brought, the newest first, without their files."""
        found = self._run(statements.KEPT_COURSES, coach=coach).all()
        return [KeptCourse(*(*row[:5], b"", aware(row[5]))) for row in found]

    def kept_course(self, digest: str, coach: str = "") -> KeptCourse | None:
        """One version, with its file: the coach's own where several have brought the same files."""
        found = self._run(statements.KEPT_COURSE, version=digest, coach=coach).one_or_none()
        return None if found is None else KeptCourse(*(*found[:5], bytes(found[5]), aware(found[6])))

    def held_versions(self, group: str) -> Sequence[HeldVersion]:
        """Since when which versions hold in a group, the earliest first."""
        return [HeldVersion(*row) for row in self._run(statements.HELD_VERSIONS, group=group).all()]

    def questions(self, group: str, household: str = "") -> Sequence[Question]:
        """What was asked in a group, or by one of its households, in the order in which it was."""
        asked = statements.THEIR_QUESTIONS if household else statements.QUESTIONS
        about = {"group": group} | ({"household": household} if household else {})
        return [_question(row) for row in self._run(asked, **about).all()]

    def answers(self, group: str) -> Sequence[Answer]:
        """What was answered in a group, in the order in which it was."""
        found = self._run(statements.ANSWERS, group=group).all()
        return [Answer(*(*row[:-1], aware(row[-1]))) for row in found]

    def note(self, group: str, on: date) -> Note | None:
        """What the coach says to a group on a date."""
        found = self._run(statements.NOTE, group=group, on=on).one_or_none()
        return None if found is None else Note(*(*found[:-1], aware(found[-1])))

    def beside(self, group: str, household: str, step: str, on: date, since: datetime) -> Beside:
        """What stands beside a household's lesson on a date; answers since an instant are given lately."""
        return beside_of(self.connection, group, household, step, on, since)

    def notes(self, group: str) -> Sequence[Note]:
        """Everything the coach says to a group, the latest date first."""
        return [Note(*(*row[:-1], aware(row[-1]))) for row in self._run(statements.NOTES, group=group).all()]

    def published(self, group: str, name: str) -> Sequence[tuple[date, str]]:
        """What was shown of a group under a name, each with the date it is as of, the oldest first."""
        found = self._run(statements.PUBLISHED, group=group, called=name).all()
        return [(as_of, content) for as_of, content in found]

    def answered(self, household: str, request_id: str, since: datetime) -> Answered | None:
        """How a request of that id was answered, if that was no earlier than an instant."""
        look_into(self.connection, household)
        return answer_to(self.connection, household, request_id, since)

    def _run(self, statement: Executable, **values: object) -> Any:  # noqa: ANN401  rows of any shape
        return self.connection.execute(statement, values)


class SqlCoachingWriting(SqlCoachingReading):
    """The same with the right to write."""

    def put_coach(self, person: str, at: datetime) -> None:
        """Let somebody coach groups."""
        if not self.is_coach(person):
            self._run(statements.ADD_COACH, person_id=person, since=at.astimezone(UTC))

    def put_group(self, group: Group) -> None:
        """Keep a group in the place of the one of its id."""
        values = {
            "person_id": group.coach,
            "name": group.name,
            "course": group.course,
            "first_day": group.first_day,
            "language": group.language,
            "made_at": group.made_at.astimezone(UTC),
        }
        change = statements.CHANGE_GROUP.values(**values)
        if self.connection.execute(change, {"group": group.id}).rowcount == 0:
            self._run(statements.ADD_GROUP, group_id=group.id, **values)

    def add_course(self, course: KeptCourse) -> None:
        """Keep a version of a course; nothing if it is there."""
        about = {"coach": course.coach, "version": course.digest}
        if self._run(statements.HAS_COURSE, **about).first() is None:
            values = asdict(course) | {"added_at": course.added_at.astimezone(UTC)}
            self._run(statements.ADD_COURSE, person_id=values.pop("coach"), **values)

    def hold_version(self, group: str, version: HeldVersion) -> None:
        """Let a version hold from a date on, in the place of one that does from that date."""
        self.drop_version(group, version.since)
        self._run(statements.ADD_HELD_VERSION, group_id=group, since=version.since, digest=version.digest)

    def drop_version(self, group: str, since: date) -> None:
        """Let none begin on that date."""
        self._run(statements.DROP_HELD_VERSION, group=group, on=since)

    def put_question(self, question: Question) -> None:
        """Keep a question in the place of the one of its id."""
        self._run(statements.DROP_QUESTION, question=question.id)
        self._run(
            statements.ADD_QUESTION,
            question_id=question.id,
            group_id=question.group,
            household_id=question.household,
            person_id=question.person,
            step=question.step,
            lesson=question.lesson,
            text=question.text,
            with_name=question.with_name,
            asked_at=question.asked_at.astimezone(UTC),
            together=question.together,
            apart=question.apart,
            answer_id=question.answer,
        )

    def put_answer(self, answer: Answer) -> None:
        """Keep an answer in the place of the one of its id."""
        self._run(statements.DROP_ANSWER, answer=answer.id)
        self._run(
            statements.ADD_ANSWER,
            answer_id=answer.id,
            group_id=answer.group,
            step=answer.step,
            question=answer.question,
            text=answer.text,
            for_all=answer.for_all,
            answered_at=answer.answered_at.astimezone(UTC),
        )

    def put_note(self, note: Note) -> None:
        """Keep a note in the place of the one of its group and date."""
        self.drop_note(note.group, note.on)
        made_at = note.made_at.astimezone(UTC)
        self._run(statements.ADD_NOTE, group_id=note.group, day=note.on, text=note.text, made_at=made_at)

    def drop_note(self, group: str, on: date) -> None:
        """Say nothing on that date."""
        self._run(statements.DROP_NOTE, group=group, on=on)

    def published(self, group: str, name: str) -> Sequence[tuple[date, str]]:
        """What was shown of a group, read by one writer at a time, since what is shown next depends on it."""
        if self.connection.dialect.name != "sqlite":
            self._run(statements.ONE_TELLS, group=group)
        return super().published(group, name)

    def publish(self, group: str, name: str, as_of: date, content: str) -> None:
        """Keep what was shown of a group under a name, as of a date."""
        self._run(statements.DROP_PUBLISHED, group=group, called=name, on=as_of)
        self._run(statements.ADD_PUBLISHED, group_id=group, name=name, as_of=as_of, content=content)

    def keep_answer(
        self, household: str, request_id: str, answered: Answered, at: datetime, before: datetime
    ) -> None:
        """Keep an answer for when its request is sent again; those given before an instant are let go of."""
        look_into(self.connection, household)
        keep_answer(self.connection, (household, request_id), answered, at, before)


def _group(row: Any) -> Group:  # noqa: ANN401  a row of the database
    return Group(*(*row[:-1], aware(row[-1])))


def _question(row: Any) -> Question:  # noqa: ANN401  the same
    *before, asked_at, together, apart, answer = row
    return Question(*(*before, aware(asked_at), together, apart, answer))
