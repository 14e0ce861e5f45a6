"""The coach's counts: the only statements over several households; they only read."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from coach.ground.spells import Ended, Paced, SeenHousehold, Weeks
from coach.store import coaching_statements as statements
from coach.store.enrolled import enrolment_of, followed_of, spell_of, weeks_of

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence
    from datetime import date

    from sqlalchemy import Connection
    from sqlalchemy.sql import Executable

    from coach.ground.groups import Enrolment
    from coach.ground.spells import Spell

_ENROLMENT = len(statements.ENROLMENT_FIELDS)


class SqlCounting:
    """The households of one database, inside one transaction that reads.

    Attributes:
        missing: The databases that could not be asked: none, since this is the only one.
    """

    missing: tuple[str, ...] = ()

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def enrolments(self, group: str) -> Sequence[Enrolment]:
        """The households of a group, in the order in which they came."""
        return [enrolment_of(row) for row in self._run(statements.ENROLMENTS, group=group).all()]

    def seen(self, group: str, day: date) -> Sequence[SeenHousehold]:
        """Those that may be seen on a date, counted or by name, with what is saved of their days."""
        return [_seen(row) for row in self._run(statements.SEEN, group=group, on=day).all()]

    def ended(self, group: str, day: date) -> Sequence[Ended]:
        """Spells of those that may be seen on a date, put together as they stood on the last Sunday."""
        statement = statements.ENDED_OF_MANY if self._has_many(group, day) else statements.ENDED
        return sorted(map(Ended._make, self._run(statement, group=group, on=day).all()))

    def paced(self, group: str, day: date, step: str) -> Sequence[Paced]:
        """A step's spells of those that may be seen on a date, put together by pace, as of last Sunday."""
        found = self._run(statements.PACED, group=group, on=day, about=step).all()
        return sorted(Paced(*row) for row in found)

    def weeks(self, group: str, day: date) -> Sequence[Weeks]:
        """The weeks of those that may be seen on a date, put together, in the order of their starts."""
        # Phases are in the same order while they stand together, since a comma comes before any letter.
        statement = statements.WEEKS_OF_MANY if self._has_many(group, day) else statements.WEEKS
        found = sorted(map(tuple, self._run(statement, group=group, on=day).all()))
        return [Weeks(started, weeks_of(weeks), level, some) for started, weeks, level, some in found]

    def spells(self, households: Collection[str]) -> Sequence[tuple[str, Spell]]:
        """The spells of some households, with whose each is, in the order of households and dates."""
        if not households:
            return []
        found = self._run(statements.SPELLS_OF, households=sorted(households)).all()
        return [(row[0], spell_of(row[1:])) for row in found]

    def behind(self, through: date, most: int) -> Sequence[str]:
        """Households that may be seen and whose saved days end before a date, the oldest first."""
        found: list[str] = list(self._run(statements.BEHIND, on=through, most=most).scalars())
        return found

    def lingering(self, day: date, most: int) -> Sequence[str]:
        """Households of which days are saved, though they may not be seen any more on a date."""
        found: list[str] = list(self._run(statements.LINGERING, on=day, most=most).scalars())
        return found

    def _has_many(self, group: str, day: date) -> bool:
        if self._connection.dialect.name == "sqlite":
            return False
        return bool(self._run(statements.HAS_MANY, group=group, on=day).scalar_one())

    def _run(self, statement: Executable, **values: object) -> Any:  # noqa: ANN401  rows of any shape
        return self._connection.execute(statement, values)


def _seen(row: Sequence[Any]) -> SeenHousehold:
    saved = row[_ENROLMENT:]
    followed = None if saved[0] is None else followed_of(saved)
    return SeenHousehold(enrolment_of(row[:_ENROLMENT]), followed)
