"""The tables of what calendar programs fetch and of what is sent."""

# SQLModel reads these annotations at run time, so they are not postponed here.
from datetime import datetime, time

from sqlalchemy import Column, DateTime, Index, Text, UniqueConstraint
from sqlmodel import Field

from coach.store.tables import Table, instant


class FeedTable(Table, table=True):
    """A feed that a calendar program may fetch; asked for by what it shows.

    Attributes:
        secret: SHA-256 of what it shows, as hexadecimal digits.
        feed_id: Names it where it is listed.
        household_id: The household it tells of.
        person_id: Who made it; empty: the household alone.
        name: What it is called.
        holds: What it holds, with commas between.
        made_at: When it was made or renewed, in UTC.
        seen_at: When it was last fetched, written at most hourly, in UTC.
    """

    __tablename__ = "feed"
    __table_args__ = (UniqueConstraint("feed_id"), Index(None, "household_id"))

    secret: str = Field(primary_key=True, sa_type=Text)
    feed_id: str = Field(sa_type=Text)
    household_id: str = Field(sa_type=Text)
    person_id: str = Field(sa_type=Text)
    name: str = Field(sa_type=Text)
    holds: str = Field(sa_type=Text)
    made_at: datetime = instant()
    seen_at: datetime | None = Field(default=None, sa_column=Column(DateTime(timezone=True), nullable=True))


class ReminderTable(Table, table=True):
    """That somebody wants one message a day; asked for by when it is to be looked at.

    Attributes:
        reminder_id: Names it in the links that end it.
        household_id: The household it tells of.
        person_id: Who wants it; empty: the household alone.
        way: `push` or `mail`.
        address: A browser's push address, or an e-mail address.
        key: A browser's public key.
        auth: A browser's secret.
        device: What the device is called.
        at: The hour chosen, by the household's clock.
        next_at: When it is looked at next, in UTC.
        made_at: When it was asked for, in UTC.
    """

    __tablename__ = "reminder"
    __table_args__ = (UniqueConstraint("household_id", "person_id"), Index(None, "next_at"))

    reminder_id: str = Field(primary_key=True, sa_type=Text)
    household_id: str = Field(sa_type=Text)
    person_id: str = Field(sa_type=Text)
    way: str = Field(sa_type=Text)
    address: str = Field(sa_type=Text)
    key: str = Field(sa_type=Text)
    auth: str = Field(sa_type=Text)
    device: str = Field(sa_type=Text)
    at: time
    next_at: datetime = instant()
    made_at: datetime = instant()


class MessageTable(Table, table=True):
    """That a message was sent, so that it is sent once, however many servers run.

    Attributes:
        household_id: The household it told of.
        person_id: Whom it was for; empty: the household alone.
        name: What it was: the date of the day it told of, or a lapse's name.
        claimed_at: When it was taken on to be sent, in UTC.
        outcome: What came of it; empty while that is not known.
    """

    __tablename__ = "message"

    household_id: str = Field(primary_key=True, sa_type=Text)
    person_id: str = Field(primary_key=True, sa_type=Text)
    name: str = Field(primary_key=True, sa_type=Text)
    claimed_at: datetime = instant()
    outcome: str = Field(sa_type=Text)


class ServiceKeyTable(Table, table=True):
    """Secrets of the service itself, the same for every process of it.

    Attributes:
        name: What it is for.
        secret: The secret.
        made_at: When it was made, in UTC.
    """

    __tablename__ = "service_key"

    name: str = Field(primary_key=True, sa_type=Text)
    secret: str = Field(sa_type=Text)
    made_at: datetime = instant()
