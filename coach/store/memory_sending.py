"""Feeds, reminders and what was sent without a database: plain values, for trying use cases out."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Protocol

from coach.ground.sending import Message

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from datetime import datetime

    from coach.ground.sending import Feed, Reminder


@dataclass(frozen=True, slots=True)
class KeptSending:
    """What is kept; replaced as a whole.

    Attributes:
        feeds: By the hash of what they show.
        reminders: By household and person.
        messages: By household and person, as they were claimed.
        keys: The service's secrets by name.
    """

    feeds: dict[str, Feed] = field(default_factory=dict)
    reminders: dict[tuple[str, str], Reminder] = field(default_factory=dict)
    messages: dict[tuple[str, str], tuple[Message, ...]] = field(default_factory=dict)
    keys: dict[str, str] = field(default_factory=dict)

    def fed(self, secret: str) -> Feed | None:
        """The feed of that hash."""
        return self.feeds.get(secret)

    def without_person(self, household: str, person: str) -> KeptSending:
        """The same without what somebody has in a household."""
        theirs = (household, person)
        return replace(
            self,
            feeds={key: one for key, one in self.feeds.items() if (one.household, one.person) != theirs},
            reminders={key: one for key, one in self.reminders.items() if key != theirs},
            messages={key: held for key, held in self.messages.items() if key != theirs},
        )

    def without(self, household: str) -> KeptSending:
        """The same without anything of a household."""
        return replace(
            self,
            feeds={key: one for key, one in self.feeds.items() if one.household != household},
            reminders={key: one for key, one in self.reminders.items() if key[0] != household},
            messages={key: held for key, held in self.messages.items() if key[0] != household},
        )


class _HasSending(Protocol):
    @property
    def sending(self) -> KeptSending: ...
    @sending.setter
    def sending(self, kept: KeptSending) -> None: ...


class MemorySendingReading:
    """Feeds and reminders as they were when the transaction began."""

    def feeds(self: _HasSending, household: str) -> Sequence[Feed]:
        """A household's feeds, in the order in which they were made."""
        found = (one for one in self.sending.feeds.values() if one.household == household)
        return sorted(found, key=lambda one: (one.made_at, one.id))

    def reminders(self: _HasSending, household: str) -> Sequence[Reminder]:
        """A household's reminders, in the order of their persons' keys."""
        found = (one for one in self.sending.reminders.values() if one.household == household)
        return sorted(found, key=lambda one: one.person)

    def reminder(self: _HasSending, reminder: str) -> Reminder | None:
        """The reminder of that id."""
        return next((one for one in self.sending.reminders.values() if one.id == reminder), None)

    def waiting(self: _HasSending, now: datetime, most: int) -> Sequence[Reminder]:
        """Reminders of all households to look at by now, those waiting longest first, at most so many."""
        found = (one for one in self.sending.reminders.values() if one.next_at <= now)
        return sorted(found, key=lambda one: (one.next_at, one.id))[:most]

    def messages(self: _HasSending, household: str, person: str, since: datetime) -> Sequence[Message]:
        """What was sent to somebody from an instant on, the oldest first."""
        found = (one for one in self.sending.messages.get((household, person), ()) if one.at >= since)
        return sorted(found, key=lambda one: (one.at, one.name))

    def key(self: _HasSending, name: str) -> str | None:
        """The secret of this service of that name."""
        return self.sending.keys.get(name)


class MemorySendingWriting(MemorySendingReading):
    """The same with the right to write."""

    def add_feed(self: _HasSending, secret: str, feed: Feed) -> None:
        """Let a calendar program fetch."""
        self.sending = replace(self.sending, feeds={**self.sending.feeds, secret: feed})

    def change_feed(self: _HasSending, feed: Feed) -> None:
        """Give the feed of that household and id another name, and let it hold something else."""
        _change(self, feed.household, feed.id, lambda one: replace(one, name=feed.name, holds=feed.holds))

    def renew_feed(self: _HasSending, household: str, feed: str, secret: str, at: datetime) -> None:
        """Put a new secret in the place of a feed's old one."""
        others = {key: one for key, one in self.sending.feeds.items() if _names(one) != (household, feed)}
        renewed = next((one for one in self.sending.feeds.values() if _names(one) == (household, feed)), None)
        if renewed is not None:
            new = replace(renewed, made_at=at, seen_at=None)
            self.sending = replace(self.sending, feeds={**others, secret: new})

    def drop_feed(self: _HasSending, household: str, feed: str) -> None:
        """End one; nothing if there is none of that id."""
        feeds = {
            key: one
            for key, one in self.sending.feeds.items()
            if (one.household, one.id) != (household, feed)
        }
        self.sending = replace(self.sending, feeds=feeds)

    def touch_feed(self: _HasSending, feed: str, at: datetime) -> None:
        """Write down that one was fetched."""
        feeds = {
            key: replace(one, seen_at=at) if one.id == feed else one
            for key, one in self.sending.feeds.items()
        }
        self.sending = replace(self.sending, feeds=feeds)

    def put_reminder(self: _HasSending, reminder: Reminder) -> None:
        """Keep a reminder in the place of the one its person has in the household."""
        theirs = (reminder.household, reminder.person)
        self.sending = replace(self.sending, reminders={**self.sending.reminders, theirs: reminder})

    def drop_reminder(self: _HasSending, household: str, person: str) -> None:
        """End somebody's; nothing if they have none."""
        reminders = {key: one for key, one in self.sending.reminders.items() if key != (household, person)}
        self.sending = replace(self.sending, reminders=reminders)

    def postpone(self: _HasSending, reminder: str, until: datetime) -> None:
        """Look at a reminder next at an instant."""
        reminders = {
            key: replace(one, next_at=until) if one.id == reminder else one
            for key, one in self.sending.reminders.items()
        }
        self.sending = replace(self.sending, reminders=reminders)

    def claim(self: _HasSending, household: str, person: str, names: Sequence[str], at: datetime) -> bool:
        """Take on sending somebody what has these names; False, with nothing written, if any was before."""
        theirs = (household, person)
        there = self.sending.messages.get(theirs, ())
        if {one.name for one in there} & set(names):
            return False
        claimed = tuple(Message(name, at, "") for name in names)
        self.sending = replace(self.sending, messages={**self.sending.messages, theirs: (*there, *claimed)})
        return True

    def came_of(self: _HasSending, household: str, person: str, names: Sequence[str], outcome: str) -> None:
        """Write down what came of what was claimed."""
        theirs = (household, person)
        there = tuple(
            one._replace(outcome=outcome) if one.name in names else one
            for one in self.sending.messages.get(theirs, ())
        )
        self.sending = replace(self.sending, messages={**self.sending.messages, theirs: there})

    def drop_messages(self: _HasSending, household: str, before: datetime) -> None:
        """Forget what was claimed before an instant."""
        messages = {
            key: tuple(one for one in held if key[0] != household or one.at >= before)
            for key, held in self.sending.messages.items()
        }
        self.sending = replace(self.sending, messages=messages)

    def put_key(self: _HasSending, name: str, value: str, at: datetime) -> str:  # noqa: ARG002  as the port has it
        """Keep a secret of this service unless there is one of that name; the one that stands then."""
        found = self.sending.keys.get(name)
        if found is not None:
            return found
        self.sending = replace(self.sending, keys={**self.sending.keys, name: value})
        return value


def _names(feed: Feed) -> tuple[str, str]:
    return feed.household, feed.id


def _change(kept: _HasSending, household: str, feed: str, change: Callable[[Feed], Feed]) -> None:
    feeds = {
        key: change(one) if _names(one) == (household, feed) else one
        for key, one in kept.sending.feeds.items()
    }
    kept.sending = replace(kept.sending, feeds=feeds)
