"""The tables of people and of what lets them in."""

# SQLModel reads these annotations at run time, so they are not postponed here.
from datetime import datetime

from sqlalchemy import BigInteger, Index, Text, UniqueConstraint
from sqlmodel import Field

from coach.store.tables import Table, instant


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
    made_at: datetime = instant()


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
    since: datetime = instant()


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
    made_at: datetime = instant()
    seen_at: datetime = instant()
    ends_at: datetime = instant()


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
    made_at: datetime = instant()
    ends_at: datetime = instant()


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
    at: datetime = instant()
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
    since: datetime = instant()
    count: int = Field(sa_type=BigInteger)
