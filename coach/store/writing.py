"""One household's rows written inside one transaction."""

from __future__ import annotations

import time as clock
from dataclasses import replace
from datetime import UTC, date, datetime, time
from typing import TYPE_CHECKING

from sqlalchemy.exc import IntegrityError

from coach.errors import AlreadyStarted, NotStarted
from coach.ground.rows import ReadRows
from coach.store import statements
from coach.store.answered import keep_answer
from coach.store.engine import small_cache
from coach.store.limits import check_plan, check_rows
from coach.store.log_rows import Pen, rows_to_add
from coach.store.people import clear_people, forget_people, known_to
from coach.store.plan import thinned
from coach.store.reading import SqlReading
from coach.store.whole import check_whole, replace_whole

if TYPE_CHECKING:
    from collections.abc import Sequence

    from sqlalchemy import Connection

    from coach.ground.answered import Answered
    from coach.ground.groups import Enrolment
    from coach.ground.plan_rows import PlannedRow, PlanRow
    from coach.ground.ports import CourseVersion, Household
    from coach.ground.rows import SavedStanding, Thinning, WrittenRow
    from coach.ground.spells import Followed, Spell
    from coach.progress.log import Row


class SqlWriting(SqlReading):
    """The same with the right to write; the household is locked against other writers from the first."""

    def __init__(self, connection: Connection, household_id: str) -> None:
        super().__init__(connection, household_id)
        self._grown = False
        self._cleared_version = 0
        self._written: Sequence[Row] | None = None
        self._replacing = False
        self._opened()

    def log(self, since: date | None = None) -> ReadRows:
        """The log in the order written; a whole log just put in its place is not read back."""
        return ReadRows(self._written) if since is None and self._written is not None else super().log(since)

    def _read_opening(self) -> tuple[Household | None, list[CourseVersion]]:
        if self.connection.dialect.name != "sqlite":
            # What waits for a lock sees what it joins as that was before; the statement after it does not.
            self._run(statements.LOCK)
        return super()._read_opening()

    def create(self, household: Household) -> None:
        """Write the household's own row; AlreadyStarted if there is one."""
        version = max(self._cleared_version + 1, _microseconds())
        values = {
            "household_id": self._id,
            "course": household.course,
            "zone": household.zone,
            "day_starts": household.day_starts,
            "week_starts": household.week_starts,
            "version": version,
            "created_at": datetime.now(UTC),
        }
        try:
            # A savepoint keeps the transaction usable when another phone was first.
            with self.connection.begin_nested():
                self.connection.execute(statements.ADD_HOUSEHOLD, values)
        except IntegrityError:
            raise AlreadyStarted("This household has started already.") from None
        self._opening, self._grown = None, True

    def settings(self, zone: str, day_starts: time, week_starts: str | None = None) -> None:
        """Change the zone and the hour now in force, and with `week_starts` the day a week begins on."""
        week = {} if week_starts is None else {"week_starts": week_starts}
        self._change(zone=zone, day_starts=day_starts, **week)

    def follow(self, course: str) -> None:
        """Let the household follow the course of that name from now on; its versions so far stay."""
        self._change(course=course)

    def append(
        self,
        rows: Sequence[Row],
        logged_at: datetime,
        request_id: str | None = None,
        by: str = "",
        tapped_at: datetime | None = None,
    ) -> bool:
        """Append rows in order; False, with nothing written, if the request id was used before.

        Args:
            rows: What to add; none is nothing to do.
            logged_at: The instant of writing, aware.
            request_id: Names the request, so that a retry is the same rows; it stands on the first of them.
            by: The person who writes; empty: the household alone.
            tapped_at: When they tapped, aware, if that was earlier.

        Raises:
            NotStarted: There is no such household.
            Malformed: A text cannot be kept.
        """
        check_rows(rows, logged_at, request_id)
        self._require()
        last, seen, folded, planned = self._run(statements.TAIL, request=request_id).one()
        if seen is not None:
            return False
        if rows:
            version = self._grow()
            pen = Pen(self._id, logged_at, request_id, by, None if self._replacing else version, tapped_at)
            for values in rows_to_add(pen, rows, last):
                self.connection.execute(statements.ADD_ROWS, values)
            self._written = None
            first = min(row.date for row in rows)
            if folded is not None and folded >= first.isoformat():
                self._run(statements.DROP_STANDINGS_FROM, on=first)
            # A fold of the plan may count the household's days away, which are in the log.
            if planned is not None and planned >= first.isoformat():
                self._plan.drop_from(first)
        return True

    def wrote(self, request_id: str) -> bool:
        """Whether a request of that id has written rows already, of the log or of the plan."""
        return self._run(statements.WROTE, request=request_id).first() is not None

    def add_course(self, version: CourseVersion, content: str) -> None:
        """Add a version of the course with its content; one of the same date is replaced."""
        self._grow()
        self._run(statements.DROP_COURSE, on=version.since)
        values = {"since": version.since, "digest": version.digest, "content": content}
        self.connection.execute(statements.ADD_COURSE, {"household_id": self._id, **values})
        self._opening = None

    def save_standings(self, saved: Sequence[SavedStanding], thinning: Thinning | None = None) -> None:
        """Keep standings, and thin the old ones out. They are a cache, so the version stays."""
        self._require()
        instead = {one.through for one in saved} | (thinning.gone if thinning else set())
        self._run(statements.DROP_STANDINGS, dates=sorted(instead), **thinned(thinning))
        values = [
            {"household_id": self._id, "through": one.through, "digest": one.digest, "state": one.state}
            for one in saved
        ]
        self.connection.execute(statements.ADD_STANDING, values)

    def keep_answer(self, request_id: str, answered: Answered, at: datetime, before: datetime) -> None:
        """Keep an answer for when its request is sent again; those given before an instant are let go of."""
        self._require()
        keep_answer(self.connection, (self._id, request_id), answered, at, before)

    def put_plan(
        self, rows: Sequence[PlanRow], logged_at: datetime, request_id: str | None = None, by: str = ""
    ) -> bool:
        """Append rows of the plan in order; False, with nothing written, if the request id was used before.

        Args:
            rows: What to add; none is nothing to do.
            logged_at: The instant of writing, aware.
            request_id: Names the request among those that wrote to the plan.
            by: The person who writes; empty: the household alone.

        Raises:
            NotStarted: There is no such household.
            Malformed: A text cannot be kept.
        """
        check_plan(rows, logged_at, request_id)
        self._require()
        if rows:
            if not self._plan.add(rows, logged_at, request_id, by):
                return False
            self._grow()
        return True

    def save_plan(self, name: str, saved: SavedStanding, thinning: Thinning | None = None) -> None:
        """Keep a fold of the plan, and thin the old ones out. The version stays."""
        self._require()
        self._plan.save(name, saved, thinning)

    def put_enrolment(self, enrolment: Enrolment) -> None:
        """Keep it in the place of the one before; a household that has started gets its next version."""
        if self.household() is not None:
            self._grow()
        self._enrolled.put(enrolment)
        self._opening = None

    def save_followed(self, followed: Followed, spells: Sequence[Spell]) -> None:
        """Keep these in the place of what was saved. They are a cache, so the version stays."""
        self._enrolled.save(followed, spells)

    def drop_followed(self) -> None:
        """Forget what is saved of its days and spells."""
        self._enrolled.drop_followed()

    def replace_log(self, household: Household, rows: Sequence[Row], logged_at: datetime) -> None:
        """Put rows in the place of the log and all that follows from it; the plan stays."""
        if self.household() is not None:
            values = {"course": household.course, "week_starts": household.week_starts}
            self._change(zone=household.zone, day_starts=household.day_starts, **values)
        else:
            self.create(household)
        for statement in statements.CLEAR_LOG:
            self._run(statement)
        self._enrolled.drop_followed()
        self._opening, self._replacing = None, True
        with small_cache(self.connection):
            self.append(rows, logged_at)
        self._written, self._replacing = rows, False

    def take_in(self, household: Household, log: Sequence[WrittenRow], plan: Sequence[PlannedRow]) -> None:
        """Put these in the place of the log, of the plan, and of the household's own values.

        Raises:
            Malformed: A text cannot be kept.
        """
        check_whole(log, plan)
        if self.household() is not None:
            values = {"course": household.course, "week_starts": household.week_starts}
            self._change(zone=household.zone, day_starts=household.day_starts, **values)
        else:
            self.create(household)
        self._enrolled.drop_followed()
        replace_whole(self.connection, self._id, self._require().version, log, plan)
        self._opening, self._written = None, None

    def show_people_anew(self) -> None:
        """Give the household its next version, since its people are others; nothing if it has not started."""
        if self.household() is not None:
            self._grow()

    def clear(self) -> None:
        """Delete everything of this household: its plan too, its people, and what lets them in."""
        household = self.household()
        if household is not None:
            self._cleared_version = household.version
        known = known_to(self.connection, self._id)
        clear_people(self.connection, self._id)
        self._enrolled.clear()
        for statement in statements.CLEAR:
            self._run(statement)
        self._forget(known)
        self._opening, self._grown, self._written = None, False, None

    def _forget(self, people: Sequence[str]) -> None:
        """Delete those of them whom nothing names any more."""
        forget_people(self.connection, people)

    def _change(self, **columns: object) -> None:
        self._grow()
        self._run(statements.CHANGE, **columns)
        self._opening = None

    def _grow(self) -> int:
        """Give the household its next version, once in a transaction and before anything is changed."""
        household = self._require()
        if not self._grown:
            # The clock keeps a version from coming back after a household was deleted, imported or restored.
            grown = replace(household, version=max(household.version + 1, _microseconds()))
            self._run(statements.CHANGE, version=grown.version)
            self._opening, self._grown = (grown, self._opened()[1]), True
            return grown.version
        return household.version

    def _require(self) -> Household:
        # Another writer may have created the household since this transaction began.
        household = self.household()
        if household is None:
            raise NotStarted("This household has not started: choose its first step.")
        return household


def _microseconds() -> int:
    """Microseconds since 1970, in UTC."""
    return clock.time_ns() // 1000
