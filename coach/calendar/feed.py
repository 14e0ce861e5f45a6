"""The calendar as it is fetched: its bytes, and what names them."""

from __future__ import annotations

from dataclasses import dataclass
from hashlib import sha256
from typing import TYPE_CHECKING

from coach.calendar.home import area_entries, dinner_entries, due_entries
from coach.calendar.rules.entries import Calendar
from coach.calendar.rules.lines import calendar_text
from coach.calendar.span import Span, written_last
from coach.calendar.steps import falling, job_entries, routine_entries
from coach.errors import NotStarted
from coach.ground.situation import looking, stamp

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from coach.calendar.rules.entries import Entry
    from coach.ground.ports import Context
    from coach.ground.sending import Feed, FeedKind
    from coach.ground.situation import Situation


@dataclass(frozen=True, slots=True)
class Named:
    """What names the bytes of a calendar.

    Attributes:
        digest: Their SHA-256, in hexadecimal digits.
    """

    digest: str


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
    return Fetched(sha256(body).hexdigest(), body)


def calendar(
    context: Context, household: str, name: str, holds: Sequence[FeedKind], address: str = ""
) -> Fetched:
    """The same, looked up.

    Raises:
        NotStarted: The household has not chosen its first step.
    """
    with looking(context, household) as where:
        return calendar_in(where, name, holds, address)


def fetched(
    context: Context, feed: Feed, known: str, address: str, before_whole: Callable[[], None] = lambda: None
) -> Named | None:
    """What a program fetches by a feed.

    What names the bytes is remembered for as long as nothing they depend on changes, so that a program which
    has them is told so by two reads of one row.

    Args:
        context: Store, lessons and clock.
        feed: What it holds, and what it is called.
        known: The digests that the program says it has, as it sent them.
        address: Where the household's pages are, if that is known.
        before_whole: Called before bytes are worked out that were named already; what it raises ends that.

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
        return Named(made[0].digest)

    named = context.memo.get(("feed", feed.id), (holding, feed.name, feed.holds, address), compute)
    if has(named, known):
        return named
    before_whole()
    return made[0] if made else calendar(context, feed.household, feed.name, feed.holds, address)


def has(named: Named, known: str) -> bool:
    """Whether a program has these bytes already (RFC 9110 §13.1.2)."""
    tags = (tag.strip().removeprefix("W/").strip('"') for tag in known.split(","))
    return any(tag in {named.digest, "*"} for tag in tags)
