"""Feeds: made by a member with a name and what they hold, their secret shown once, changed and ended."""

from __future__ import annotations

import secrets
from contextlib import suppress
from dataclasses import replace
from typing import TYPE_CHECKING

from coach.calendar.answers import Feeds, FeedView, NewFeed
from coach.calendar.rules.entries import KINDS
from coach.errors import Malformed, NotAllowed, NotStarted, StoreError, Unknown
from coach.ground.people import SignIn
from coach.ground.sending import Feed
from coach.household.codes import MOST_SIGN_INS
from coach.household.devices import ID_BYTES, TOUCHED, hashed, new_secret
from coach.household.names import tidy_name
from coach.household.paired import belongs, names_of

if TYPE_CHECKING:
    from collections.abc import Collection
    from datetime import datetime

    from coach.ground.people import Caller, PeopleReading, PeopleWriting
    from coach.ground.ports import Context
    from coach.ground.sending import FeedKind

MOST_FEEDS = 30
"""Feeds of a household; each is worked out by itself when it is fetched."""

NO_NAME = "Write whose calendar it is, or what it is for, so that you know it again."
NOTHING = "A calendar holds at least one thing. Choose what it is to show."
NOT_HERE = "There is no such calendar. It may have been ended meanwhile."
NOT_YOURS = "That calendar is somebody else's. A keeper of the household can change or end it."
NO_MORE = "You do not belong to this household any more, so no calendar was made."
NO_HOME = "There is nothing to show yet: the household has not begun."


def feeds(context: Context, caller: Caller) -> Feeds:
    """The feeds there are: for a keeper all of the household's, for a member their own."""
    with context.store.people_reading() as reading:
        names = names_of(reading.members(caller.household))
        found = [one for one in reading.feeds(caller.household) if _is_theirs(caller, one)]
    return Feeds(tuple(_view(one, names.get(one.person, "")) for one in found))


def make(context: Context, caller: Caller, name: str, holds: Collection[FeedKind]) -> NewFeed:
    """Make a feed; its secret is in the answer and nowhere else.

    Args:
        context: Store and clock.
        caller: Who makes it.
        name: What it is called.
        holds: What it is to hold, in any order.

    Raises:
        Malformed: The name says nothing or is too long, or it is to hold nothing.
        NotAllowed: There are too many already, or whoever makes it was taken out meanwhile.
        NotStarted: The household has not chosen its first step.
    """
    called, kinds, now = _name(name), _holds(holds), context.clock()
    if context.store.version(caller.household) is None:
        raise NotStarted(NO_HOME)
    secret, hash_of_it = new_secret()
    with context.store.people_writing() as writing:
        # It may have waited in line for a while, and a feed lasts.
        if not belongs(writing, caller.household, caller.person):
            raise NotAllowed(NO_MORE)
        if len(writing.feeds(caller.household)) >= MOST_FEEDS:
            raise NotAllowed(f"There are {MOST_FEEDS} calendars already. End one of them first.")
        feed = Feed(secrets.token_urlsafe(ID_BYTES), caller.household, caller.person, called, kinds, now)
        writing.add_feed(hash_of_it, feed)
        _tell(writing, caller, feed, "made", now)
        view = _view(feed, _name_of(writing, feed))
    return NewFeed(secret, view)


def change(
    context: Context,
    caller: Caller,
    feed: str,
    name: str | None = None,
    holds: Collection[FeedKind] | None = None,
) -> FeedView:
    """Call a feed something else, or let it hold something else; what is not named stays.

    Raises:
        Unknown: There is none of that id.
        NotAllowed: It is somebody else's, and the one who asks is no keeper.
        Malformed: The name or what it is to hold cannot be used.
    """
    with context.store.people_writing() as writing:
        kept = _theirs(writing, caller, feed)
        called = kept.name if name is None else _name(name)
        changed = replace(kept, name=called, holds=kept.holds if holds is None else _holds(holds))
        if changed != kept:
            writing.change_feed(changed)
        return _view(changed, _name_of(writing, changed))


def renew(context: Context, caller: Caller, feed: str) -> NewFeed:
    """Give a feed another secret; the old one fetches nothing any more. The errors are those of `change`."""
    secret, hash_of_it = new_secret()
    now = context.clock()
    with context.store.people_writing() as writing:
        kept = _theirs(writing, caller, feed)
        writing.renew_feed(caller.household, kept.id, hash_of_it, now)
        _tell(writing, caller, kept, "given another address", now)
        renewed = replace(kept, made_at=now, seen_at=None)
        return NewFeed(secret, _view(renewed, _name_of(writing, renewed)))


def end(context: Context, caller: Caller, feed: str) -> None:
    """End a feed: it fetches nothing any more.

    Raises:
        Unknown: There is none of that id.
        NotAllowed: It is somebody else's, and the one who asks is no keeper.
    """
    with context.store.people_writing() as writing:
        kept = _theirs(writing, caller, feed)
        writing.drop_feed(caller.household, kept.id)
        _tell(writing, caller, kept, "ended", context.clock())


def shown(context: Context, secret: str) -> Feed | None:
    """The feed of a secret, by one read whatever the secret looks like."""
    return context.store.fed(hashed(secret))


def seen(context: Context, feed: Feed) -> None:
    """Write down that a feed was fetched, once an hour at most."""
    now = context.clock()
    if feed.seen_at is None or now - feed.seen_at >= TOUCHED:
        # That it was fetched is no reason to keep anybody waiting or out.
        with suppress(StoreError), context.store.people_writing() as writing:
            writing.touch_feed(feed.id, now)


def _theirs(reading: PeopleReading, caller: Caller, feed: str) -> Feed:
    kept = next((one for one in reading.feeds(caller.household) if one.id == feed), None)
    if kept is None:
        raise Unknown(NOT_HERE)
    if not _is_theirs(caller, kept):
        raise NotAllowed(NOT_YOURS)
    return kept


def _is_theirs(caller: Caller, feed: Feed) -> bool:
    return caller.is_keeper or bool(caller.role and feed.person == caller.person)


def _name(text: str) -> str:
    called = tidy_name(text, "A calendar's name")
    if not called:
        raise Malformed(NO_NAME)
    return called


def _holds(wanted: Collection[FeedKind]) -> tuple[FeedKind, ...]:
    """What a feed holds, in the order in which that is named everywhere."""
    kinds = tuple(kind for kind in KINDS if kind in wanted)
    if not kinds:
        raise Malformed(NOTHING)
    return kinds


def _tell(writing: PeopleWriting, caller: Caller, feed: Feed, outcome: str, now: datetime) -> None:
    """Write down at the door that somebody may read from outside, or may not any more."""
    happened = SignIn(now, "feed", outcome, caller.person, feed.name, caller.address)
    writing.add_sign_in(caller.household, happened, MOST_SIGN_INS)


def _name_of(reading: PeopleReading, feed: Feed) -> str:
    return names_of(reading.members(feed.household)).get(feed.person, "")


def _view(feed: Feed, person_name: str) -> FeedView:
    return FeedView(feed.id, feed.name, feed.holds, feed.person, person_name, feed.made_at, feed.seen_at)
