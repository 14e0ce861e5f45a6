"""The tables of people and of what lets them in."""

# SQLModel reads these annotations at run time, so they are not postponed here.
from datetime import datetime

from sqlalchemy import BigInteger, Boolean, Index, Text, UniqueConstraint, false, text
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
        as_coach: Whether it opens what its person does as a coach.
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
    as_coach: bool = Field(default=False, sa_type=Boolean, sa_column_kwargs={"server_default": false()})


class CodeTable(Table, table=True):
    """A code that lets somebody in, until it is used, over, or was guessed at too often.

    Attributes:
        secret: A slow hash of the code, as hexadecimal digits.
        household_id: The household it leads into; empty: into a new one, or to what a coach does.
        kind: `pairing`, `invitation`, `household` or `coach`.
        person_id: Whom it was made for; empty: whoever uses it says who they are.
        made_by: The person who made it; empty: the household alone.
        uses: How often it can still be used.
        wrong: Wrong codes that were tried while it held.
        made_at: When it was made, in UTC.
        ends_at: When it is over, in UTC.
        group_id: The group that a new household comes into; empty: none.
        name: What the household or the coach that is invited is called, where that was said.
        begins: The letters it begins with, where these name it; empty: at home.
    """

    __tablename__ = "code"
    __table_args__ = (Index(None, "household_id"), Index(None, "group_id"), Index(None, "begins"))

    secret: str = Field(primary_key=True, sa_type=Text)
    household_id: str = Field(sa_type=Text)
    kind: str = Field(sa_type=Text)
    person_id: str = Field(sa_type=Text)
    made_by: str = Field(sa_type=Text)
    uses: int = Field(sa_type=BigInteger)
    wrong: int = Field(sa_type=BigInteger)
    made_at: datetime = instant()
    ends_at: datetime = instant()
    group_id: str = Field(default="", sa_type=Text, sa_column_kwargs={"server_default": text("''")})
    name: str = Field(default="", sa_type=Text, sa_column_kwargs={"server_default": text("''")})
    begins: str = Field(default="", sa_type=Text, sa_column_kwargs={"server_default": text("''")})


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


class CoachTable(Table, table=True):
    """Who may coach groups.

    Attributes:
        person_id: The person.
        since: When that was said, in UTC.
    """

    __tablename__ = "coach"

    person_id: str = Field(primary_key=True, sa_type=Text)
    since: datetime = instant()


class PasskeyTable(Table, table=True):
    """A key that a person's device keeps for signing in (Web Authentication, level 3).

    Attributes:
        credential: The credential's id, base64url.
        person_id: Whose it is.
        public_key: The public key as COSE, base64url.
        counter: How often the device says that it signed; 0 where it does not count.
        name: What it is called: "blue phone".
        made_at: When it was added, in UTC.
        seen_at: When it was last used, in UTC.
    """

    __tablename__ = "passkey"
    __table_args__ = (Index(None, "person_id"),)

    credential: str = Field(primary_key=True, sa_type=Text)
    person_id: str = Field(sa_type=Text)
    public_key: str = Field(sa_type=Text)
    counter: int = Field(sa_type=BigInteger)
    name: str = Field(sa_type=Text)
    made_at: datetime = instant()
    seen_at: datetime = instant()


class RecoveryTable(Table, table=True):
    """A code of a printed recovery sheet, until it is used.

    Attributes:
        secret: A slow hash of the code, as hexadecimal digits.
        person_id: Whose it is.
        sheet_id: The sheet it stands on.
        made_at: When that was made, in UTC.
    """

    __tablename__ = "recovery"
    __table_args__ = (Index(None, "person_id"),)

    secret: str = Field(primary_key=True, sa_type=Text)
    person_id: str = Field(sa_type=Text)
    sheet_id: str = Field(sa_type=Text)
    made_at: datetime = instant()


class CeremonyTable(Table, table=True):
    """What a device was asked to sign, until it answers.

    Attributes:
        secret: SHA-256 of the challenge, as hexadecimal digits.
        kind: `add` or `sign in`.
        person_id: Who adds a passkey; empty: whoever signs in.
        ends_at: When it is over, in UTC.
    """

    __tablename__ = "ceremony"

    secret: str = Field(primary_key=True, sa_type=Text)
    kind: str = Field(sa_type=Text)
    person_id: str = Field(sa_type=Text)
    ends_at: datetime = instant()


class PlaceTable(Table, table=True):
    """In which database a household lives, where there are several.

    Attributes:
        household_id: The household.
        place: The database's name.
        moving_to: The database it is being moved to, while its writes are refused; empty: it stays.
        since: When it came there, in UTC.
    """

    __tablename__ = "place"

    household_id: str = Field(primary_key=True, sa_type=Text)
    place: str = Field(sa_type=Text)
    moving_to: str = Field(default="", sa_type=Text, sa_column_kwargs={"server_default": text("''")})
    since: datetime = instant()
