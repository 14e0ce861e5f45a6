"""What is fetched by calendar programs and sent as messages, and the port to where that is kept."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, NamedTuple, Protocol

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime, time

FeedKind = Literal["jobs", "areas", "dinner", "dues", "routines"]
Way = Literal["push", "mail"]


@dataclass(frozen=True, slots=True)
class Feed:
    """A feed that a calendar program may fetch.

    Attributes:
        id: Names it where it is listed.
        household: The household it tells of.
        person: Who made it; empty: the household alone. It ends when they leave.
        name: What it is called: "Ana's calendar".
        holds: What it holds, in the order of the kinds.
        made_at: When it was made or renewed, aware.
        seen_at: When it was last fetched, written at most hourly; None: never.
    """

    id: str
    household: str
    person: str
    name: str
    holds: tuple[FeedKind, ...]
    made_at: datetime
    seen_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Reminder:
    """That somebody wants one message a day, and where it goes. A person has one in a household.

    Attributes:
        id: Names it in the links that end it.
        household: The household it tells of.
        person: Who wants it; empty: the household alone.
        way: To a browser, or by mail.
        address: Where: the browser's push address, or an e-mail address.
        key: Of a browser: its public key (p256dh, base64url).
        auth: Of a browser: its secret (auth, base64url).
        device: What the device is called.
        at: The hour chosen, by the household's clock.
        next_at: The next instant at which is looked whether one is due, aware.
        made_at: When it was asked for, aware.
    """

    id: str
    household: str
    person: str
    way: Way
    address: str
    key: str
    auth: str
    device: str
    at: time
    next_at: datetime
    made_at: datetime


class Message(NamedTuple):
    """That a message was sent, or that sending it was tried.

    Attributes:
        name: What it was, unique for its person: the date of the day it told of, or a lapse's name.
        at: When it was claimed, aware.
        outcome: What came of it; empty while that is not known.
    """

    name: str
    at: datetime
    outcome: str


class SendingReading(Protocol):
    """Feeds and reminders, inside one short transaction."""

    def feeds(self, household: str) -> Sequence[Feed]:
        """A household's feeds, in the order in which they were made."""

    def reminders(self, household: str) -> Sequence[Reminder]:
        """A household's reminders, in the order of their persons' keys."""

    def reminder(self, reminder: str) -> Reminder | None:
        """The reminder of that id."""

    def waiting(self, now: datetime, most: int) -> Sequence[Reminder]:
        """Reminders of all households to look at by now, those waiting longest first, at most so many."""

    def messages(self, household: str, person: str, since: datetime) -> Sequence[Message]:
        """What was sent to somebody from an instant on, the oldest first."""

    def key(self, name: str) -> str | None:
        """The secret of this service of that name."""


class SendingWriting(SendingReading, Protocol):
    """The same with the right to write."""

    def add_feed(self, secret: str, feed: Feed) -> None:
        """Let a calendar program fetch; `secret` is the hash of what it shows."""

    def change_feed(self, feed: Feed) -> None:
        """Give the feed of that household and id another name, and let it hold something else."""

    def renew_feed(self, household: str, feed: str, secret: str, at: datetime) -> None:
        """Put a new secret in the place of a feed's old one, which fetches nothing any more."""

    def drop_feed(self, household: str, feed: str) -> None:
        """End one; nothing if there is none of that id."""

    def touch_feed(self, feed: str, at: datetime) -> None:
        """Write down that one was fetched."""

    def put_reminder(self, reminder: Reminder) -> None:
        """Keep a reminder in the place of the one its person has in the household."""

    def drop_reminder(self, household: str, person: str) -> None:
        """End somebody's; nothing if they have none."""

    def postpone(self, reminder: str, until: datetime) -> None:
        """Look at a reminder next at an instant."""

    def claim(self, household: str, person: str, names: Sequence[str], at: datetime) -> bool:
        """Take on sending somebody what has these names; False, with nothing written, if any was before."""

    def came_of(self, household: str, person: str, names: Sequence[str], outcome: str) -> None:
        """Write down what came of what was claimed."""

    def drop_messages(self, household: str, before: datetime) -> None:
        """Forget what was claimed before an instant."""

    def put_key(self, name: str, value: str, at: datetime) -> str:
        """Keep a secret of this service unless there is one of that name; the one that stands then."""


class Sending(Protocol):
    """Where that is kept, asked without knowing the household yet."""

    def fed(self, secret: str) -> Feed | None:
        """The feed of that hash, by one read."""
