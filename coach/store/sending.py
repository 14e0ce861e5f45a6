"""Feeds, reminders and what was sent, inside one transaction of a database."""

from __future__ import annotations

from datetime import UTC
from typing import TYPE_CHECKING, Any, cast

from coach.ground.sending import Feed, Message, Reminder
from coach.store import sending_statements as statements
from coach.store.instants import aware
from coach.store.wall import DOOR, read_once

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from sqlalchemy import Connection
    from sqlalchemy.sql import Executable

    from coach.ground.sending import FeedKind


class SqlSendingReading:
    """Feeds and reminders inside one transaction that reads."""

    def __init__(self, connection: Connection) -> None:
        self.connection = connection

    def feeds(self, household: str) -> Sequence[Feed]:
        """A household's feeds, in the order in which they were made."""
        return [_feed(row) for row in self._run(statements.FEEDS, household=household).all()]

    def reminders(self, household: str) -> Sequence[Reminder]:
        """A household's reminders, in the order of their persons' keys."""
        return [_reminder(row) for row in self._run(statements.REMINDERS, household=household).all()]

    def reminder(self, reminder: str) -> Reminder | None:
        """The reminder of that id."""
        found = self._run(statements.REMINDER, reminder=reminder).one_or_none()
        return None if found is None else _reminder(found)

    def waiting(self, now: datetime, most: int) -> Sequence[Reminder]:
        """Reminders of all households to look at by now, those waiting longest first, at most so many."""
        found = self._run(statements.WAITING, instant=now.astimezone(UTC), most=most).all()
        return [_reminder(row) for row in found]

    def messages(self, household: str, person: str, since: datetime) -> Sequence[Message]:
        """What was sent to somebody from an instant on, the oldest first."""
        values = {"household": household, "person": person, "instant": since.astimezone(UTC)}
        found = self._run(statements.MESSAGES, **values).all()
        return [Message(name, aware(at), outcome) for name, at, outcome in found]

    def key(self, name: str) -> str | None:
        """The secret of this service of that name."""
        return cast("str | None", self._run(statements.KEY, named=name).scalar_one_or_none())

    def _run(self, statement: Executable, **values: object) -> Any:  # noqa: ANN401  rows of any shape
        return self.connection.execute(statement, values)


class SqlSendingWriting(SqlSendingReading):
    """The same with the right to write."""

    def add_feed(self, secret: str, feed: Feed) -> None:
        """Let a calendar program fetch."""
        self._run(
            statements.ADD_FEED,
            secret=secret,
            feed_id=feed.id,
            household_id=feed.household,
            person_id=feed.person,
            name=feed.name,
            holds=",".join(feed.holds),
            made_at=feed.made_at.astimezone(UTC),
            seen_at=feed.seen_at.astimezone(UTC) if feed.seen_at else None,
        )

    def change_feed(self, feed: Feed) -> None:
        """Give the feed of that household and id another name, and let it hold something else."""
        change = statements.CHANGE_FEED.values(name=feed.name, holds=",".join(feed.holds))
        self.connection.execute(change, {"household": feed.household, "feed": feed.id})

    def renew_feed(self, household: str, feed: str, secret: str, at: datetime) -> None:
        """Put a new secret in the place of a feed's old one."""
        change = statements.CHANGE_FEED.values(secret=secret, made_at=at.astimezone(UTC), seen_at=None)
        self.connection.execute(change, {"household": household, "feed": feed})

    def drop_feed(self, household: str, feed: str) -> None:
        """End one; nothing if there is none of that id."""
        self._run(statements.DROP_FEED, household=household, feed=feed)

    def touch_feed(self, feed: str, at: datetime) -> None:
        """Write down that one was fetched."""
        self.connection.execute(statements.TOUCH_FEED.values(seen_at=at.astimezone(UTC)), {"feed": feed})

    def put_reminder(self, reminder: Reminder) -> None:
        """Keep a reminder in the place of the one its person has in the household."""
        self.drop_reminder(reminder.household, reminder.person)
        self._run(
            statements.ADD_REMINDER,
            reminder_id=reminder.id,
            household_id=reminder.household,
            person_id=reminder.person,
            way=reminder.way,
            address=reminder.address,
            key=reminder.key,
            auth=reminder.auth,
            device=reminder.device,
            at=reminder.at,
            next_at=reminder.next_at.astimezone(UTC),
            made_at=reminder.made_at.astimezone(UTC),
        )

    def drop_reminder(self, household: str, person: str) -> None:
        """End somebody's; nothing if they have none."""
        self._run(statements.DROP_REMINDER, household=household, person=person)

    def postpone(self, reminder: str, until: datetime) -> None:
        """Look at a reminder next at an instant."""
        change = statements.POSTPONE.values(next_at=until.astimezone(UTC))
        self.connection.execute(change, {"reminder": reminder})

    def claim(self, household: str, person: str, names: Sequence[str], at: datetime) -> bool:
        """Take on sending somebody what has these names; False if any was before.

        Whoever writes about people is alone in doing so (`ONE_AT_A_TIME`, and SQLite's own lock), so nobody
        claims between the look and the row.
        """
        about = {"household": household, "person": person}
        if self._run(statements.CLAIMED, **about, names=list(names)).first() is not None:
            return False
        rows = [
            {
                "household_id": household,
                "person_id": person,
                "name": name,
                "claimed_at": at.astimezone(UTC),
                "outcome": "",
            }
            for name in names
        ]
        self.connection.execute(statements.ADD_MESSAGE, rows)
        return True

    def came_of(self, household: str, person: str, names: Sequence[str], outcome: str) -> None:
        """Write down what came of what was claimed."""
        about = {"household": household, "person": person, "names": list(names)}
        self.connection.execute(statements.CAME_OF.values(outcome=outcome), about)

    def drop_messages(self, household: str, before: datetime) -> None:
        """Forget what was claimed before an instant."""
        self._run(statements.DROP_MESSAGES, household=household, instant=before.astimezone(UTC))

    def put_key(self, name: str, value: str, at: datetime) -> str:
        """Keep a secret of this service unless there is one of that name; the one that stands then."""
        found = self.key(name)
        if found is not None:
            return found
        self._run(statements.ADD_KEY, name=name, secret=value, made_at=at.astimezone(UTC))
        return value


def fed_by(connection: Connection, secret: str) -> Feed | None:
    """The feed of that hash, by one read."""
    [found] = read_once(connection, DOOR, (statements.FED, {"shown": secret}))
    return _feed(found[0]) if found else None


def clear_sending(connection: Connection, household: str) -> None:
    """Let nothing be fetched of a household or sent to anybody in it any more."""
    for statement in statements.CLEAR:
        connection.execute(statement, {"household": household})


def drop_theirs(connection: Connection, household: str, person: str) -> None:
    """End what somebody fetches of a household and is sent there."""
    for statement in statements.DROP_THEIRS:
        connection.execute(statement, {"household": household, "person": person})


def _feed(row: Sequence[Any]) -> Feed:
    key, household, person, name, holds, made_at, seen_at = row
    kinds = cast("tuple[FeedKind, ...]", tuple(holds.split(",")) if holds else ())
    return Feed(key, household, person, name, kinds, aware(made_at), aware(seen_at) if seen_at else None)


def _reminder(row: Sequence[Any]) -> Reminder:
    return Reminder(*row[:-2], *map(aware, row[-2:]))
