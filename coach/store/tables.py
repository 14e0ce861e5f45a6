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


AT_THE_DOOR = frozenset({"person", "session", "code", "tally"})
"""Tables of who is let in: asked before it is known which household is meant, so their keys cannot begin
with it, and nothing that a household wrote stands in them."""

CODE_POINTS = Text().with_variant(Text(collation="C"), "postgresql")
"""Text in the order of its code points: SQLite's own, where PostgreSQL would take its server's language."""


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


def _instant() -> Any:  # noqa: ANN401  a field, as SQLModel types it
    return Field(sa_column=Column(DateTime(timezone=True), nullable=False))


class PersonTable(Table, table=True):
    """Somebody who uses Steading: a name and nothing else.

    People stand outside the households, since one may be a member of several.

    Attributes:
        person_id: Their key.
        name: What they are called.
        made_at: When they were written down, in UTC.
    """

    __tablename__ = "person"

    person_id: str = Field(primary_key=True, sa_type=Text)
    name: str = Field(sa_type=Text)
    made_at: datetime = _instant()


class MemberTable(Table, table=True):
    """Who belongs to a household; there may be members before the household has started.

    Attributes:
        household_id: The household.
        person_id: The person.
        role: `keeper` or `member`.
        since: When they joined, in UTC.
    """

    __tablename__ = "member"
    __table_args__ = (Index(None, "person_id"),)

    household_id: str = Field(primary_key=True, sa_type=Text)
    person_id: str = Field(primary_key=True, sa_type=Text)
    role: str = Field(sa_type=Text)
    since: datetime = _instant()


class SessionTable(Table, table=True):
    """A device that was let in, or a program; asked for by what it shows.

    Attributes:
        secret: SHA-256 of what it shows, as hexadecimal digits.
        session_id: Names it where it is listed.
        household_id: The household it was let into.
        person_id: Whose it is.
        kind: `browser` or `program`.
        scope: `write` or `read`.
        name: What it is called: "kitchen phone".
        made_at: When it was let in, in UTC.
        seen_at: When it was last seen, written at most hourly, in UTC.
        ends_at: When it ends whatever happens, in UTC.
    """

    __tablename__ = "session"
    __table_args__ = (UniqueConstraint("session_id"), Index(None, "household_id"), Index(None, "person_id"))

    secret: str = Field(primary_key=True, sa_type=Text)
    session_id: str = Field(sa_type=Text)
    household_id: str = Field(sa_type=Text)
    person_id: str = Field(sa_type=Text)
    kind: str = Field(sa_type=Text)
    scope: str = Field(sa_type=Text)
    name: str = Field(sa_type=Text)
    made_at: datetime = _instant()
    seen_at: datetime = _instant()
    ends_at: datetime = _instant()


class CodeTable(Table, table=True):
    """A code that lets somebody in, until it is used, over, or was guessed at too often.

    Attributes:
        secret: A slow hash of the code, as hexadecimal digits.
        household_id: The household it leads into.
        kind: `pairing` or `invitation`.
        person_id: Whom it was made for; empty: whoever uses it says who they are.
        made_by: The person who made it; empty: the household alone.
        uses: How often it can still be used.
        wrong: Wrong codes that were tried while it held.
        made_at: When it was made, in UTC.
        ends_at: When it is over, in UTC.
    """

    __tablename__ = "code"
    __table_args__ = (Index(None, "household_id"),)

    secret: str = Field(primary_key=True, sa_type=Text)
    household_id: str = Field(sa_type=Text)
    kind: str = Field(sa_type=Text)
    person_id: str = Field(sa_type=Text)
    made_by: str = Field(sa_type=Text)
    uses: int = Field(sa_type=BigInteger)
    wrong: int = Field(sa_type=BigInteger)
    made_at: datetime = _instant()
    ends_at: datetime = _instant()


class SignInTable(Table, table=True):
    """What happened at a household's door; never a code or a token.

    Attributes:
        household_id: The household.
        seq: The order of what happened, from 1.
        at: When, in UTC.
        way: `pairing`, `invitation`, `device`, `token`, `person` or another way.
        outcome: What came of it: `let in`, `wrong code`, `ended` ...
        person_id: Who, where that is known.
        name: What the device is called, where it has a name.
        address: Where the request came from.
    """

    __tablename__ = "sign_in"

    household_id: str = Field(primary_key=True, sa_type=Text)
    seq: int = Field(primary_key=True, sa_type=BigInteger, sa_column_kwargs={"autoincrement": False})
    at: datetime = _instant()
    way: str = Field(sa_type=Text)
    outcome: str = Field(sa_type=Text)
    person_id: str = Field(sa_type=Text)
    name: str = Field(sa_type=Text)
    address: str = Field(sa_type=Text)


class TallyTable(Table, table=True):
    """How often something was tried within a span of time, for what may be tried so often and no more.

    Attributes:
        key: What is counted.
        since: When the span began, in UTC.
        count: How often.
    """

    __tablename__ = "tally"

    key: str = Field(primary_key=True, sa_type=Text)
    since: datetime = _instant()
    count: int = Field(sa_type=BigInteger)


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
    at: datetime = _instant()
