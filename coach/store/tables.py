"""The tables; every key begins with the household, and nothing refers from one household to another."""

# SQLModel reads these annotations at run time, so they are not postponed here.
from datetime import date, datetime, time
from typing import Any

from sqlalchemy import BigInteger, Column, DateTime, Index, MetaData, Text, UniqueConstraint, text
from sqlmodel import Field, SQLModel

METADATA = MetaData(
    naming_convention={
        "pk": "pk_%(table_name)s",
        "fk": "fk_%(table_name)s_%(referred_table_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    }
)


CODE_POINTS = Text().with_variant(Text(collation="C"), "postgresql")
"""Text in the order of its code points: SQLite's own, where PostgreSQL would take its server's language."""


DECISIONS = "what NOT IN ('clear', 'excused', 'kept', 'missed', 'small')"
"""The rows of the log that mark nothing: a handful among many thousands."""


class Table(SQLModel):
    """What the tables share: one set of metadata, with names that migrations can rely on."""

    metadata = METADATA


class HouseholdTable(Table, table=True):
    """One home beside its log.

    Attributes:
        household_id: Its key, `home` in embedded use.
        course: The name of the course it follows.
        zone: IANA name now in force.
        day_starts: Local wall time at which its day begins.
        week_starts: English name of the day its week begins on, in small letters.
        version: Grows with every write; never used twice for different contents.
        created_at: When the row was written, in UTC.
    """

    __tablename__ = "household"

    household_id: str = Field(primary_key=True, sa_type=Text)
    course: str = Field(sa_type=Text)
    zone: str = Field(sa_type=Text)
    day_starts: time
    week_starts: str = Field(default="monday", sa_type=Text, sa_column_kwargs={"server_default": "monday"})
    version: int = Field(sa_type=BigInteger)
    created_at: datetime = Field(sa_column=Column(DateTime(timezone=True), nullable=False))


class LogTable(Table, table=True):
    """The log: the only truth about a household; rows are added and never changed.

    Attributes:
        household_id: Whose row it is.
        seq: The order in which the household's rows were written, from 1.
        date: The household day the row is about.
        what: The kind of row (rules §4).
        step: The step it is about, or empty.
        value: What it says, or empty; JSON where the kind of row asks for it.
        logged_at: The instant it was written, in UTC.
        request_id: Names the request that wrote it, on that request's first row only.
        by: The person who wrote it; empty: the household alone, a paper entry or an import.
        version: The household's version that the row made; none: an import, or an earlier Steading wrote it.
        tapped_at: The instant at which it was tapped, in UTC, where it came later than that.
    """

    __tablename__ = "log"
    __table_args__ = (
        UniqueConstraint("household_id", "request_id"),
        Index(None, "household_id", "date"),
        Index(
            "ix_log_decisions",
            "household_id",
            "step",
            "logged_at",
            sqlite_where=text(DECISIONS),
            postgresql_where=text(DECISIONS),
        ),
    )

    household_id: str = Field(primary_key=True, sa_type=Text, foreign_key="household.household_id")
    seq: int = Field(primary_key=True, sa_type=BigInteger, sa_column_kwargs={"autoincrement": False})
    date: date
    what: str = Field(sa_type=Text)
    step: str = Field(sa_type=Text)
    value: str = Field(sa_type=Text)
    logged_at: datetime = Field(sa_column=Column(DateTime(timezone=True), nullable=False))
    request_id: str | None = Field(default=None, sa_type=Text)
    by: str = Field(default="", sa_type=Text, sa_column_kwargs={"server_default": text("''")})
    version: int | None = Field(default=None, sa_type=BigInteger)
    tapped_at: datetime | None = Field(default=None, sa_column=Column(DateTime(timezone=True), nullable=True))


class CourseVersionTable(Table, table=True):
    """The course as a household has followed it, one row for each date on which its files changed.

    Attributes:
        household_id: Whose row it is.
        since: The date from which this version holds.
        digest: The course folder's digest.
        content: The course as JSON.
    """

    __tablename__ = "course_version"

    household_id: str = Field(primary_key=True, sa_type=Text, foreign_key="household.household_id")
    since: date = Field(primary_key=True)
    digest: str = Field(sa_type=Text)
    content: str = Field(sa_type=Text)


class StandingTable(Table, table=True):
    """Saved standings: a cache that may be emptied at any time.

    Attributes:
        household_id: Whose row it is.
        through: The last date folded into the standing.
        digest: Names the course versions it was computed with.
        state: The standing as JSON.
    """

    __tablename__ = "standing"

    household_id: str = Field(primary_key=True, sa_type=Text, foreign_key="household.household_id")
    through: date = Field(primary_key=True)
    digest: str = Field(sa_type=Text)
    state: str = Field(sa_type=Text)


class PlanLogTable(Table, table=True):
    """The plan's rows as they were written: the only truth about it; rows are added and never changed.

    Attributes:
        household_id: Whose row it is.
        seq: The order in which the rows of the household's plan were written, from 1.
        date: The household day on which it was decided.
        what: The kind of row.
        key: What it is about, unique within its kind.
        value: JSON, or empty where the value was taken away.
        logged_at: The instant it was written, in UTC.
        request_id: Names the request that wrote it, on that request's first row only.
        by: The person who wrote it; empty: the household alone.
    """

    __tablename__ = "plan_log"
    __table_args__ = (
        UniqueConstraint("household_id", "request_id"),
        Index(None, "household_id", "what", "key", "seq"),
    )

    household_id: str = Field(primary_key=True, sa_type=Text, foreign_key="household.household_id")
    seq: int = Field(primary_key=True, sa_type=BigInteger, sa_column_kwargs={"autoincrement": False})
    date: date
    what: str = Field(sa_type=Text)
    key: str = Field(sa_type=Text)
    value: str = Field(sa_type=Text)
    logged_at: datetime = Field(sa_column=Column(DateTime(timezone=True), nullable=False))
    request_id: str | None = Field(default=None, sa_type=Text)
    by: str = Field(default="", sa_type=Text, sa_column_kwargs={"server_default": text("''")})


class PlanValueTable(Table, table=True):
    """What holds now of the plan: the last row of each key, unless it took the value away.

    Written in one transaction with `plan_log`, from which it can be made again.

    Attributes:
        household_id: Whose row it is.
        what: The kind of row.
        key: What it is about, unique within its kind.
        value: JSON, never empty.
        seq: The row of `plan_log` that says so.
    """

    __tablename__ = "plan_value"

    household_id: str = Field(primary_key=True, sa_type=Text, foreign_key="household.household_id")
    what: str = Field(primary_key=True, sa_type=Text)
    key: str = Field(sa_column=Column(CODE_POINTS, primary_key=True))
    value: str = Field(sa_type=Text)
    seq: int = Field(sa_type=BigInteger)


class PlanStateTable(Table, table=True):
    """Saved folds of the plan: a cache that may be emptied at any time.

    Attributes:
        household_id: Whose row it is.
        name: What was folded.
        through: The last date folded.
        digest: Names what it was computed with.
        state: The fold as JSON.
    """

    __tablename__ = "plan_state"
    __table_args__ = (Index(None, "household_id", "through"),)

    household_id: str = Field(primary_key=True, sa_type=Text, foreign_key="household.household_id")
    name: str = Field(primary_key=True, sa_type=Text)
    through: date = Field(primary_key=True)
    digest: str = Field(sa_type=Text)
    state: str = Field(sa_type=Text)


def instant() -> Any:  # noqa: ANN401  a field, as SQLModel types it
    """A column for an instant, written in UTC."""
    return Field(sa_column=Column(DateTime(timezone=True), nullable=False))


class AnsweredTable(Table, table=True):
    """Answers to requests that wrote, so that one which is sent again is answered as the first time.

    Attributes:
        household_id: Whose request it was.
        request_id: Names the request.
        asked: SHA-256 of what was asked.
        status: The answer's status.
        body: The answer.
        at: When it was given, in UTC.
    """

    __tablename__ = "answered"
    __table_args__ = (Index(None, "household_id", "at"),)

    household_id: str = Field(primary_key=True, sa_type=Text)
    request_id: str = Field(primary_key=True, sa_type=Text)
    asked: str = Field(sa_type=Text)
    status: int = Field(sa_type=BigInteger)
    body: str = Field(sa_type=Text)
    at: datetime = instant()
