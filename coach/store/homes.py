"""Whose home is where, and who coaches, inside one transaction of a database."""

from __future__ import annotations

from datetime import UTC
from typing import TYPE_CHECKING, Any, cast

from coach.ground.homes import Belonging, Somebody
from coach.ground.people import Code, Session
from coach.store import homes_statements as statements
from coach.store.instants import aware

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from sqlalchemy import Connection, Executable

    from coach.ground.people import Role


class SqlHomesReading:
    """Households of people, inside one transaction that reads."""

    connection: Connection

    def homes_of(self, person: str) -> Sequence[Belonging]:
        """The households somebody belongs to, in the order in which they joined them."""
        found = self._asked(statements.HOMES, person=person).all()
        return [Belonging(household, cast("Role", role), aware(since)) for household, role, since in found]

    def role_of(self, household: str, person: str) -> Role | None:
        """What somebody is in a household; None: they do not belong to it."""
        found = self._asked(statements.ROLE, household=household, person=person).scalar_one_or_none()
        return cast("Role | None", found)

    def count_homes(self) -> int:
        """How many households there are that somebody belongs to."""
        return int(self._asked(statements.COUNT_HOMES).scalar_one())

    def is_coach(self, person: str) -> bool:
        """Whether somebody may coach groups."""
        return self._asked(statements.IS_COACH, person=person).one_or_none() is not None

    def sessions_of(self, person: str) -> Sequence[Session]:
        """Somebody's devices and programs, those seen last first."""
        return [session_of(row) for row in self._asked(statements.SESSIONS_OF, person=person).all()]

    def everybody(self) -> Sequence[Somebody]:
        """Everybody there is, in the order in which they were written down."""
        found = self._asked(statements.EVERYBODY).all()
        return [Somebody(person, name, aware(since), bool(coach)) for person, name, since, coach in found]

    def codes_of(self, group: str) -> Sequence[Code]:
        """The codes by which new households come into a group, the newest first."""
        return [code_of(row) for row in self._asked(statements.CODES_OF, group=group).all()]

    def code_named(self, begins: str) -> Code | None:
        """The code that begins with these letters, where they name it."""
        found = self._asked(statements.CODE_NAMED, named_by=begins).first() if begins else None
        return None if found is None else code_of(found)

    def _asked(self, statement: Executable, **values: object) -> Any:  # noqa: ANN401  rows of any shape
        return self.connection.execute(statement, values)


class SqlHomesWriting(SqlHomesReading):
    """The same with the right to write."""

    def put_coach(self, person: str, at: datetime) -> None:
        """Let somebody coach groups; nothing if they may already."""
        if not self.is_coach(person):
            self._asked(statements.ADD_COACH, person_id=person, since=at.astimezone(UTC))

    def choose(self, session: str, household: str) -> None:
        """Let a session ask about another household from now on."""
        self.connection.execute(statements.CHOOSE.values(household_id=household), {"session": session})

    def drop_sessions_of(self, person: str) -> None:
        """End every device and program of somebody."""
        self._asked(statements.DROP_SESSIONS_OF, person=person)

    def wrong_named(self, begins: str, at: datetime) -> None:
        """Count a wrong try against the code that begins with these letters, if it holds at that instant."""
        if begins:
            self._asked(statements.COUNT_WRONG_NAMED, named_by=begins, instant=at.astimezone(UTC))

    def drop_codes_over(self, ended: datetime) -> None:
        """Forget every code that was over by an instant, whatever it leads into."""
        self._asked(statements.DROP_EVERY_CODE_OVER, instant=ended.astimezone(UTC))

    def drop_codes_of(self, group: str, ended: datetime | None = None) -> None:
        """Forget a group's codes: all, or those that were over by an instant."""
        if ended is None:
            self._asked(statements.DROP_CODES_OF, group=group)
        else:
            self._asked(statements.DROP_CODES_OVER_OF, group=group, instant=ended.astimezone(UTC))


def session_of(row: Sequence[Any]) -> Session:
    """A session out of its row."""
    made, seen, ends = map(aware, row[6:9])
    return Session(*[*row[:6], made, seen, ends, bool(row[9])])


def code_of(row: Sequence[Any]) -> Code:
    """A code out of its row."""
    made, ends = map(aware, row[6:8])
    return Code(*[*row[:6], made, ends, *row[8:]])
