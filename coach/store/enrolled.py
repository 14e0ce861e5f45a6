"""What stands beside a household's log where many are hosted, in a database."""

from __future__ import annotations

from datetime import UTC
from typing import TYPE_CHECKING, Any, cast

from coach.ground.groups import Enrolment
from coach.ground.spells import Followed, Spell
from coach.store import coaching_statements as statements
from coach.store.instants import aware

if TYPE_CHECKING:
    from collections.abc import Sequence

    from sqlalchemy import Connection

    from coach.ground.groups import Level
    from coach.ground.spells import Ending


class EnrolledTables:
    """Enrolment, saved days and spells of one household, inside one transaction."""

    def __init__(self, connection: Connection, household_id: str) -> None:
        self._connection = connection
        self._id = household_id

    def enrolment(self) -> Enrolment | None:
        """What the household is called and lets be seen; None where it is the only one."""
        found = self._run(statements.ENROLMENT).one_or_none()
        return None if found is None else enrolment_of(found)

    def followed(self) -> Followed | None:
        """How far its days are saved for its coach."""
        found = self._run(statements.FOLLOWED).one_or_none()
        return None if found is None else followed_of(found)

    def spells(self) -> Sequence[Spell]:
        """Its spells as they are saved, in the order of the dates on which they began."""
        return [spell_of(row) for row in self._run(statements.SAVED_SPELLS).all()]

    def put(self, enrolment: Enrolment) -> None:
        """Keep it in the place of the one before."""
        self._run(statements.DROP_ENROLMENT)
        values = {
            "household_id": self._id,
            "name": enrolment.name,
            "group_id": enrolment.group,
            "joined_at": enrolment.joined_at.astimezone(UTC),
            "level": enrolment.level,
            "level_at": enrolment.level_at.astimezone(UTC),
            "level_until": enrolment.level_until,
        }
        self._connection.execute(statements.ADD_ENROLMENT, values)

    def save(self, followed: Followed, spells: Sequence[Spell]) -> None:
        """Keep these in the place of what was saved."""
        self.drop_followed()
        values = {
            "household_id": self._id,
            "through": followed.through,
            "started_on": followed.started_on,
            "phase": followed.phase,
            "last_mark": followed.last_mark,
            "due_since": followed.due_since,
            "weeks": ",".join(followed.weeks),
        }
        self._connection.execute(statements.ADD_FOLLOWED, values)
        rows = [{"household_id": self._id, **_columns(one)} for one in spells]
        if rows:
            self._connection.execute(statements.ADD_SPELLS, rows)

    def drop_followed(self) -> None:
        """Forget what is saved of its days and spells."""
        self._run(statements.DROP_SPELLS)
        self._run(statements.DROP_FOLLOWED)

    def clear(self) -> None:
        """Forget all of it."""
        for statement in statements.CLEAR:
            self._run(statement)

    def _run(self, statement: Any) -> Any:  # noqa: ANN401  rows of any shape
        return self._connection.execute(statement, {"household": self._id})


def enrolment_of(row: Sequence[Any]) -> Enrolment:
    """An enrolment as a row of the database tells it."""
    household, name, group, joined_at, level, level_at, until = row
    return Enrolment(household, name, group, aware(joined_at), cast("Level", level), aware(level_at), until)


def followed_of(row: Sequence[Any]) -> Followed:
    """Saved days as a row of the database tells them."""
    *values, weeks = row
    return Followed(*(*values, weeks_of(weeks)))


def weeks_of(kept: str) -> tuple[str, ...]:
    """The phases of weeks as a column of the database tells them."""
    return tuple(kept.split(",")) if kept else ()


def spell_of(row: Sequence[Any]) -> Spell:
    """A spell as a row of the database tells it."""
    return Spell(*row)


def _columns(spell: Spell) -> dict[str, object]:
    ending: Ending = spell.ending
    return {
        "step": spell.step,
        "digest": spell.digest,
        "entered_on": spell.entered_on,
        "days": spell.days,
        "ending": ending,
        "ended_on": spell.ended_on,
        "state": spell.state,
        "settled_on": spell.settled_on,
        "outcomes": spell.outcomes,
        "sunday_days": spell.sunday_days,
        "sunday_ending": spell.sunday_ending,
        "pace": spell.pace,
    }
