"""One household's rows read inside one transaction."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from coach.course.shapes import UNREADABLE
from coach.ground.ports import CourseVersion
from coach.ground.rows import Marked, RawRow, ReadRows, SavedStanding, Signed
from coach.progress.log import What
from coach.store import statements
from coach.store.answered import answer_to
from coach.store.enrolled import EnrolledTables
from coach.store.instants import aware
from coach.store.log_rows import latest, rows_read
from coach.store.people import members_of, names_of
from coach.store.plan import PlanTables
from coach.store.raw import as_text, household_of, read_raw, understood
from coach.store.wall import Scope, read_once
from coach.store.whole import planned_rows, written_rows

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence
    from datetime import date, datetime

    from sqlalchemy import Connection
    from sqlalchemy.sql import Executable

    from coach.ground.answered import Answered
    from coach.ground.groups import Enrolment
    from coach.ground.people import Member
    from coach.ground.plan_rows import Asked, PlannedRow, PlanRow
    from coach.ground.ports import Household
    from coach.ground.rows import WrittenRow
    from coach.ground.spells import Followed, Spell
    from coach.progress.log import Row


class SqlReading:
    """One household's data inside one transaction."""

    def __init__(self, connection: Connection, household_id: str) -> None:
        self.connection = connection
        self._id = household_id
        self._plan = PlanTables(connection, household_id)
        self._enrolled = EnrolledTables(connection, household_id)
        self._opening: tuple[Household | None, list[CourseVersion]] | None = None

    def household(self) -> Household | None:
        """The household, or None before its start."""
        return self._opened()[0]

    def rows(self, since: date | None = None) -> Sequence[Row]:
        """The log in the order written; with `since`, only rows dated on or after it."""
        return self.log(since).rows

    def log(self, since: date | None = None) -> ReadRows:
        """The same, with the rows that are none beside it: of a kind nobody knows, or without a date."""
        try:
            if since is not None:
                return ReadRows(latest(self._run(statements.ROWS_SINCE, since=since)))
            return ReadRows(list(rows_read(self._run(statements.ROWS))))
        except UNREADABLE:
            return read_raw(self.raw_log(), since)

    def raw_log(self) -> Sequence[RawRow]:
        """The log as it is kept, without looking at anything else; what is no text is shown as text."""
        return [RawRow(*map(as_text, row)) for row in self._run(statements.RAW_ROWS).all()]

    def marked_at(self, since: date) -> Sequence[Marked]:
        """When marks dated from then on were written, but the excused; none where that cannot be read."""
        try:
            found = self._run(statements.MARKED_SINCE, since=since).all()
            return [Marked(on, step, aware(at)) for on, step, at in found]
        except UNREADABLE:
            return []

    def signed(self, first: date, last: date) -> Sequence[Signed]:
        """For each date and step the last row that marks it or takes its mark back; none where unreadable."""
        try:
            found = self._run(statements.SIGNED, first=first, last=last).all()
            return [
                Signed(on, step, What(what), by, aware(at), version)
                for on, step, what, by, at, version in found
            ]
        except UNREADABLE:
            return []

    def decided_at(self) -> Mapping[str, datetime]:
        """For each step the instant of the last row about it that marks nothing; none where unreadable."""
        try:
            return {step: aware(at) for step, at in self._run(statements.DECIDED).all()}
        except UNREADABLE:
            return {}

    def planned_at(self, asked: Sequence[Asked]) -> Sequence[Mapping[str, datetime]]:
        """For everything asked for the instants at which what holds now was written, by key."""
        return self._plan.instants(asked)

    def names(self) -> Sequence[str]:
        """For each row of the log, in the order written, what the one who wrote it is called, or nothing."""
        return [str(name) for name in self._run(statements.NAMES).scalars()]

    def members(self) -> Sequence[Member]:
        """Who belongs to the household, in the order in which they joined."""
        return members_of(self.connection, self._id)

    def names_of(self, people: Collection[str]) -> Mapping[str, str]:
        """What people are called, by their keys, whether they belong to it still or not."""
        return names_of(self.connection, people)

    def answered(self, request_id: str, since: datetime) -> Answered | None:
        """How a request of that id was answered, if that was no earlier than an instant."""
        return answer_to(self.connection, self._id, request_id, since)

    def courses(self) -> Sequence[CourseVersion]:
        """The versions of its course, oldest first."""
        return self._opened()[1]

    def course_content(self, digest: str) -> str:
        """The version of that digest as JSON."""
        content: str = self._run(statements.COURSE_CONTENT, course_digest=digest).scalar_one()
        return content

    def standing(self, before: date, digests: Sequence[str]) -> SavedStanding | None:
        """The latest saved standing of one of these digests whose `through` is earlier than `before`."""
        try:
            found = self._run(statements.STANDING, before=before, digests=list(digests)).one_or_none()
        except UNREADABLE:
            # One without a date is damaged. Those before it are no loss: they are a cache.
            return None
        return None if found is None else SavedStanding(*found)

    def plans(self, asked: Sequence[Asked]) -> Sequence[list[tuple[str, str]]]:
        """What holds now of the plan, for everything asked for in one statement."""
        return self._plan.parts(asked)

    def plan_all(self) -> Sequence[tuple[str, str, str]]:
        """Everything that holds now of the plan."""
        return self._plan.all()

    def plan_history(self, what: str, key: str, most: int = 50) -> Sequence[PlanRow]:
        """The latest rows of one key of the plan, the newest first."""
        return self._plan.history(what, key, most)

    def saved_plan(self, name: str, before: date, digest: str) -> SavedStanding | None:
        """The latest saved fold of that name and digest whose `through` is earlier than `before`."""
        return self._plan.saved(name, before, digest)

    def enrolment(self) -> Enrolment | None:
        """What the household is called and lets be seen; None where it is the only one."""
        return self._enrolled.enrolment()

    def followed(self) -> Followed | None:
        """How far its days are saved for its coach."""
        return self._enrolled.followed()

    def saved_spells(self) -> Sequence[Spell]:
        """Its spells as they are saved, in the order of the dates on which they began."""
        return self._enrolled.spells()

    def written_rows(self) -> Sequence[WrittenRow]:
        """The whole log in the order written, with what is kept beside its rows."""
        return written_rows(self.connection, self._id)

    def planned_rows(self) -> Sequence[PlannedRow]:
        """The whole history of the plan in the order written, in the same way."""
        return planned_rows(self.connection, self._id)

    def _opened(self) -> tuple[Household | None, list[CourseVersion]]:
        """The household's own row and the versions of its course, read together and once."""
        if self._opening is None or self._opening[0] is None:
            self._opening = self._read_opening()
        return self._opening

    def _read_opening(self) -> tuple[Household | None, list[CourseVersion]]:
        with understood(self.connection):
            found = self._run(statements.OPENING).all()
            if not found:
                return None, []
            versions = [CourseVersion(since, digest) for *_, since, digest in found if since is not None]
            return household_of(self._id, *found[0][:-2]), versions

    def _run(self, statement: Executable, **values: object) -> Any:  # noqa: ANN401  rows of any shape
        return self.connection.execute(statement, {"household": self._id, **values})


def household_row(connection: Connection, household_id: str) -> Household | None:
    """The household's own row, or None before its start."""
    with understood(connection):
        asked = {"household": household_id}
        [found] = read_once(connection, Scope(household_id), (statements.HOUSEHOLD, asked))
        return household_of(household_id, *found[0]) if found else None
