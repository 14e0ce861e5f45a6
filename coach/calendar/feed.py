"""The calendar as it is fetched: its bytes, what names them, and when they last changed."""

from __future__ import annotations

from dataclasses import dataclass
from hashlib import sha256
from typing import TYPE_CHECKING

from coach.calendar.home import area_entries, dinner_entries, due_entries
from coach.calendar.rules.entries import Calendar
from coach.calendar.rules.lines import calendar_text
from coach.calendar.span import Span, day_begins, written_last
from coach.calendar.steps import falling, job_entries, routine_entries
from coach.errors import NotStarted
from coach.ground.situation import looking, stamp

if TYPE_CHECKING:
    from collections.abc import Hashable, Iterator, Sequence
    from datetime import datetime

    from coach.calendar.rules.entries import Entry
    from coach.ground.ports import Context
    from coach.ground.sending import Feed, FeedKind
    from coach.ground.situation import Situation


@dataclass(frozen=True, slots=True)
class Named:
    """What names the bytes of a calendar.

    Attributes:
        digest: Their SHA-256, in hexadecimal digits.
        changed: When they last became others, aware.
    """

    digest: str
    changed: datetime


@dataclass(frozen=True, slots=True)
class Fetched(Named):
    """A calendar with its bytes."""

    body: bytes


def entries(where: Situation, holds: Sequence[FeedKind]) -> Iterator[Entry]:
    """What a calendar of these kinds shows, out of a situation of today."""
    span = Span(where)
    span.fetch()
    if {"jobs", "routines"} & set(holds):
        found = falling(span, with_routines="routines" in holds)
        yield from job_entries(span, found) if "jobs" in holds else ()
    if "areas" in holds:
        yield from area_entries(span)
    if "dinner" in holds:
        yield from dinner_entries(span)
    if "dues" in holds:
        yield from due_entries(span)
    if "routines" in holds:
        yield from routine_entries(span, found)


def calendar_in(where: Situation, name: str, holds: Sequence[FeedKind], address: str = "") -> Fetched:
    """The calendar of these kinds, out of a situation of today."""
    home, written = where.home, written_last(where.home.version)
    shown = Calendar(home.id, name, written, home.version, tuple(entries(where, holds)), address)
    body = calendar_text(shown).encode()
    return Fetched(sha256(body).hexdigest(), _changed(where), body)


def _changed(where: Situation) -> datetime:
    """When the bytes last became others: with a write, or as a day began and its dates moved on."""
    written = written_last(where.home.version)
    if where.context.pretend is not None:
        return written
    return max(written, min(day_begins(where, where.today), where.context.clock()))


def calendar(
    context: Context, household: str, name: str, holds: Sequence[FeedKind], address: str = ""
) -> Fetched:
    """The same, looked up.

    Raises:
        NotStarted: The household has not chosen its first step.
    """
    with looking(context, household) as where:
        return calendar_in(where, name, holds, address)


def fetched(context: Context, feed: Feed, known: str, since: datetime | None, address: str) -> Named | None:
    """What a program fetches by a feed.

    What names the bytes is remembered for as long as nothing they depend on changes, so that a program which
    has them is told so by two reads of one row.

    Args:
        context: Store, lessons and clock.
        feed: What it holds, and what it is called.
        known: The digests that the program says it has, as it sent them.
        since: When what it has last changed, if it says that alone.
        address: Where the household's pages are, if that is known.

    Returns:
        `Fetched` with the bytes; `Named` alone where the program has them; None before the start.
    """
    try:
        holding = stamp(context, feed.household)
    except NotStarted:
        return None
    made: list[Fetched] = []

    def compute() -> Named:
        made.append(calendar(context, feed.household, feed.name, feed.holds, address))
        return Named(made[0].digest, made[0].changed)

    named = context.memo.get(("feed", feed.id), (holding, _seen(feed, address)), compute)
    if has(named, known, since):
        return named
    return made[0] if made else calendar(context, feed.household, feed.name, feed.holds, address)


def _seen(feed: Feed, address: str) -> Hashable:
    return feed.name, feed.holds, address


def has(named: Named, known: str, since: datetime | None) -> bool:
    """Whether a program has these bytes already (RFC 9110 §13.1.2 and §13.1.3)."""
    if known:
        tags = (tag.strip().removeprefix("W/").strip('"') for tag in known.split(","))
        return any(tag in {named.digest, "*"} for tag in tags)
    return since is not None and named.changed.replace(microsecond=0) <= since
