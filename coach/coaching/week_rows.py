"""Households by the week of their start: where they stood week after week since."""

from __future__ import annotations

import json
from collections import Counter, defaultdict
from datetime import date
from itertools import islice, repeat, zip_longest
from typing import TYPE_CHECKING, NamedTuple

from coach.coaching.groups import coach_day, group_of
from coach.coaching.rules.audit import FEWEST_TOLD
from coach.coaching.rules.week_telling import PHASES, row_telling, row_told_of, rows_hidden
from coach.coaching.stopping_answers import PhasesShown, RowShown, WeeksShown
from coach.coaching.told import sunday_of
from coach.ground.groups import BY_NAME
from coach.ground.weeks import DAYS_IN_WEEK, WeekStart, week_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from coach.coaching.rules.week_telling import Exact, RowTold, WeekTold
    from coach.ground.people import Caller
    from coach.ground.ports import Context
    from coach.ground.spells import Weeks

NAME = "weeks"
"""What tables of weeks are kept under."""

History = dict[date, list["RowTold"]]
"""Everything that was told of the households that started in a week, by its Monday, the oldest first."""


class Lot(NamedTuple):
    """Households that started in one week.

    Attributes:
        households: How many.
        weeks: How many of them were in each phase at the end of each of their weeks, by its number.
    """

    households: int
    weeks: Exact


class Row(NamedTuple):
    """What a coach may know of the households that started in one week.

    Attributes:
        monday: The first day of that week.
        named: Those that share by name, which the coach sees one by one.
        told: What is told of those that are counted alone.
        is_new: Whether it was not told before.
    """

    monday: date
    named: Lot
    told: RowTold | None
    is_new: bool


NOBODY = Lot(0, {})


def weeks(context: Context, caller: Caller, group: str) -> WeeksShown:
    """A group's households in rows by the week of their start, with their weeks since.

    Raises:
        Unknown: The group is not the caller's.
    """
    with context.store.coaching_reading() as reading:
        found = group_of(reading, caller, group)
    day = coach_day(context)
    with context.store.counting() as counting:
        lived, missing = counting.weeks(group, day), counting.missing
    as_of = sunday_of(day)
    rows = _kept(context, group, lived, as_of)
    shown = [(row, _shown(row)) for row in rows]
    return WeeksShown(
        group=group,
        name=found.name,
        as_of=as_of,
        rows=tuple(one for _, one in shown if one is not None),
        # Of those that are counted alone it would tell one home's choice.
        waiting=any(one is None and row.named.households > 0 for row, one in shown),
        missing=missing,
    )


def _kept(context: Context, group: str, lived: Sequence[Weeks], as_of: date) -> list[Row]:
    """The rows; what is told for the first time is kept."""
    with context.store.coaching_reading() as reading:
        rows = _beside(context, group, reading.published(group, NAME), lived, as_of)
    if not any(row.is_new for row in rows):
        return rows
    with context.store.coaching_writing() as writing:
        kept = writing.published(group, NAME)
        rows = _beside(context, group, kept, lived, as_of)
        if any(row.is_new for row in rows):
            writing.publish(group, NAME, as_of, _with(dict(kept).get(as_of), rows))
    return rows


def _beside(
    context: Context, group: str, kept: Sequence[tuple[date, str]], lived: Sequence[Weeks], as_of: date
) -> list[Row]:
    depends_on = (as_of, hash(tuple(lived)), hash(tuple(kept)))
    return context.memo.get(("weeks", group), depends_on, lambda: _rows(_history(kept), lived, as_of))


def _rows(history: History, lived: Sequence[Weeks], as_of: date) -> list[Row]:
    named = _lots((one for one in lived if one.level == BY_NAME), as_of)
    counted = _lots((one for one in lived if one.level != BY_NAME), as_of)
    hidden = rows_hidden({monday.isoformat(): lot.households for monday, lot in sorted(counted.items())})
    rows = []
    for monday in sorted({*named, *counted}):
        lot, earlier = counted.get(monday, NOBODY), history.get(monday, [])
        is_hidden = monday.isoformat() in hidden
        told = None if is_hidden else row_telling(lot.households, lot.weeks, earlier)
        is_new = told is not None and told not in earlier
        rows.append(Row(monday, named.get(monday, NOBODY), told, is_new))
    return rows


def _lots(lived: Iterable[Weeks], as_of: date) -> dict[date, Lot]:
    """Households by the Monday of the week of their start, with their weeks as far as these were over."""
    of_start: defaultdict[date, list[tuple[str, ...]]] = defaultdict(list)
    for one in lived:
        of_start[one.started_on] += repeat(one.weeks, one.households)
    households: Counter[date] = Counter()
    phases: defaultdict[date, defaultdict[int, Counter[str | None]]] = defaultdict(
        lambda: defaultdict(Counter)
    )
    for started_on, each in of_start.items():
        if started_on > as_of:
            continue
        monday = week_of(started_on, WeekStart.MONDAY)
        households[monday] += len(each)
        over = ((as_of - started_on).days + 1) // DAYS_IN_WEEK
        # A household of which fewer weeks are saved is in no phase of the others.
        for week, column in enumerate(islice(zip_longest(*each), over), start=1):
            phases[monday][week].update(column)
    return {
        monday: Lot(number, {week: _all(found) for week, found in phases[monday].items()})
        for monday, number in households.items()
    }


def _all(found: Mapping[str | None, int]) -> dict[str, int]:
    return {phase: found.get(phase, 0) for phase in PHASES}


def _shown(row: Row) -> RowShown | None:
    """A row as it is shown; nothing is of fewer than five households."""
    households = row.named.households + (row.told.households if row.told else 0)
    if households < FEWEST_TOLD:
        return None
    longest = max((*row.named.weeks, *(row.told.weeks if row.told else ())), default=0)
    return RowShown(
        row.monday, households, tuple(_cell(row, households, week) for week in range(1, longest + 1))
    )


def _cell(row: Row, households: int, week: int) -> PhasesShown:
    told = row.told.weeks.get(week) if row.told else None
    if row.told is not None and told is None:
        return PhasesShown(week, None, None, None, None, None, 0, None, unfinished=False)
    named = row.named.weeks.get(week, {})
    ramping, steady, lapsed, rebuilding, paused = (
        _number(named.get(phase, 0), phase, told) for phase in PHASES
    )
    come = sum(named.values()) + (told.households if told else 0)
    rest = told.rest + sum(named.get(phase, 0) for phase in PHASES if phase not in told.phases) if told else 0
    return PhasesShown(
        week, ramping, steady, lapsed, rebuilding, paused, rest, come, unfinished=come < households
    )


def _number(named: int, phase: str, told: WeekTold | None) -> int | None:
    if told is None:
        return named
    return named + told.phases[phase] if phase in told.phases else None


def _history(kept: Sequence[tuple[date, str]]) -> History:
    found: defaultdict[date, list[RowTold]] = defaultdict(list)
    for _, content in kept:
        for monday, rows in json.loads(content).items():
            found[date.fromisoformat(monday)].extend(row_told_of(row) for row in rows)
    return dict(found)


def _with(content: str | None, rows: Iterable[Row]) -> str:
    found: dict[str, list[object]] = json.loads(content) if content else {}
    for row in _new(rows):
        if row.told is not None:
            found.setdefault(row.monday.isoformat(), []).append(row.told.to_json())
    return json.dumps(found, separators=(",", ":"), sort_keys=True)


def _new(rows: Iterable[Row]) -> Iterator[Row]:
    return (row for row in rows if row.is_new)
