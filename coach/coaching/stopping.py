"""Where people stop: for each step of a group's course what became of the households that began it."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from coach.coaching.groups import coach_day, group_of
from coach.coaching.rules.audit import FEWEST_TOLD
from coach.coaching.rules.counts import ENDS, STANDING, Count, ended, entered, too_few
from coach.coaching.rules.incidence import incidence
from coach.coaching.rules.median import median
from coach.coaching.rules.wilson import share
from coach.coaching.stopping_answers import CourseVersion, Shared, StepStops, Stopping
from coach.coaching.titles import step_titles
from coach.coaching.told import known, sunday_of
from coach.errors import Unknown

if TYPE_CHECKING:
    from collections.abc import Hashable, Iterator, Mapping, Sequence

    from coach.coaching.rules.telling import Told
    from coach.coaching.told import Known
    from coach.ground.groups import HeldVersion
    from coach.ground.people import Caller
    from coach.ground.ports import Context
    from coach.ground.spells import Ending

NO_VERSION = "No household of this group has begun a step under that version."
REST = "rest"


def stopping(context: Context, caller: Caller, group: str, version: str = "") -> Stopping:
    """Where people stop in a group.

    Args:
        context: Store, lessons and clock.
        caller: Who asks.
        group: The group's id.
        version: The version of its course that it is about; empty: all together.

    Raises:
        Unknown: The group is not the caller's, or there is no such version.
    """
    with context.store.coaching_reading() as reading:
        found = group_of(reading, caller, group)
        titles = step_titles(context, reading, found)
        held = reading.held_versions(group)
    day = coach_day(context)
    with context.store.counting() as counting:
        rows, missing = counting.ended(group, day), counting.missing
    as_of = sunday_of(day)
    parts = [one for one in known(context, group, rows, as_of) if one.part.step in titles]
    versions = tuple(_versions(parts, held))
    if version and version not in {one.version for one in versions}:
        raise Unknown(NO_VERSION)
    told = [one for one in parts if version in {"", one.part.digest}]
    return Stopping(
        group=group,
        name=found.name,
        as_of=as_of,
        version=version,
        versions=versions,
        steps=_steps(context, group, version, told, titles),
        counted=any(one.named or one.table for one in told),
        missing=missing,
    )


class Numbers(NamedTuple):
    """How the households of a step stand, as far as it is told.

    Attributes:
        told: The number for each way of standing; None: hidden.
        rest: Those that stand in one of the hidden ways, in all.
    """

    told: Mapping[Ending, int | None]
    rest: int


def numbers(parts: Sequence[Known]) -> Numbers:
    """How the households of some parts stand, put together."""
    tables = [one.table for one in parts if one.table is not None]
    hidden = {ending for table in tables if table.rest for ending in table.hidden}
    named = [count for one in parts for count in one.named]
    told: dict[Ending, int | None] = {}
    rest = sum(table.rest for table in tables)
    for ending in STANDING:
        number = ended(named, ending) + sum(_total(table, ending) for table in tables)
        told[ending] = None if ending in hidden else number
        rest += number if ending in hidden else 0
    return Numbers(told, rest)


def _total(table: Told, ending: Ending) -> int:
    return table.total(ending) if ending in table.blocks else 0


def counts_of(parts: Sequence[Known]) -> list[Count]:
    """The spells of some parts as estimates take them."""
    last = max((one.last for one in parts), default=0)
    return [count for one in parts for count in one.counts(last)]


def _versions(parts: Sequence[Known], held: Sequence[HeldVersion]) -> Iterator[CourseVersion]:
    """The versions there are spells of, that which held last first, and those of no date at the end."""
    since = {one.digest: one.since for one in held}
    digests = sorted({one.part.digest for one in parts if one.spells or one.telling.anew})
    for digest in sorted((one for one in digests if one in since), key=lambda one: since[one], reverse=True):
        yield CourseVersion(digest, since[digest])
    for digest in digests:
        if digest not in since:
            yield CourseVersion(digest, None)


def _steps(
    context: Context, group: str, version: str, parts: Sequence[Known], titles: Mapping[str, str]
) -> tuple[StepStops, ...]:
    """What is told of each step, out of memory while nothing is other than it was."""
    depends_on = hash((tuple(titles.items()), *((one.part, one.named, _key(one)) for one in parts)))

    def each() -> tuple[StepStops, ...]:
        of_step: dict[str, list[Known]] = {step: [] for step in titles}
        for one in parts:
            of_step[one.part.step].append(one)
        return tuple(_step(step, titles[step], some) for step, some in of_step.items())

    return context.memo.get(("stops of steps", group, version), depends_on, each)


def _key(one: Known) -> Hashable:
    table = one.table
    return one.telling.anew, table and (table.as_of, tuple(table.blocks.items()), table.rest)


def _step(step: str, title: str, parts: Sequence[Known]) -> StepStops:
    """What is told of a step; with fewer than five households nothing is, and no median of hidden ends.

    Of counted households that are in no table not even that there are some: it would be one home's choice.
    """
    anew = any(one.telling.anew for one in parts)
    counts = counts_of(parts)
    households = entered(counts)
    if households < FEWEST_TOLD:
        return nothing_told(step, title, anew=anew, waiting=households > 0)
    found = numbers(parts)
    told, half = found.told, None
    if told["settled"] is not None and not too_few(households):
        half = median(counts)
    return StepStops(
        step=step,
        title=title,
        as_of=min((one.table.as_of for one in parts if one.table is not None), default=None),
        entered=households,
        settled=told["settled"],
        set_aside=told["set aside"],
        lapsed=told["lapsed"],
        left=told["left"],
        open=told["open"],
        rest=found.rest,
        median=half and half.day,
        median_low=half and half.low,
        median_high=half and half.high,
        incidence=tuple(_incidence(counts, told)),
        shares=tuple(_shares(found, households)),
        anew=anew,
        waiting=False,
    )


def nothing_told(step: str, title: str, *, anew: bool, waiting: bool) -> StepStops:
    """A step of which nothing is told."""
    return StepStops(
        step=step, title=title, as_of=None, entered=None, settled=None, set_aside=None, lapsed=None,
        left=None, open=None, rest=0, median=None, median_low=None, median_high=None, incidence=(), shares=(),
        anew=anew, waiting=waiting,
    )  # fmt: skip


def _incidence(
    counts: Sequence[Count], told: Mapping[Ending, int | None]
) -> Iterator[tuple[int, float | None, float | None, float | None, float | None]]:
    """The shares by day, as long as ten are at risk; those of a hidden end are hidden."""
    found = incidence(counts)
    hidden = (None,) * len(found.days)
    columns = (found.shares[ending] if told[ending] is not None else hidden for ending in ENDS)
    for day, at_risk, *shares in zip(found.days, found.at_risk, *columns, strict=True):
        if too_few(at_risk):
            return
        settled, aside, lapsed, left = (None if one is None else round(one, 4) for one in shares)
        yield day, settled, aside, lapsed, left


def _shares(found: Numbers, households: int) -> Iterator[Shared]:
    """How they stand, in parts that are one together."""
    if too_few(households):
        return
    parts: list[tuple[str, int]] = [(key, number) for key, number in found.told.items() if number is not None]
    for ending, number in [*parts, *([(REST, found.rest)] if found.rest else [])]:
        one = share(number, households)
        yield Shared(ending, number, one.share, one.low, one.high)
