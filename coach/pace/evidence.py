"""What a household's own log tells of how it keeps its lines: outcomes by kind and weekday, quiet spells.

A day is *quiet* if its checklist held something and nothing was marked. What closes on it as missed says that
nobody was there, and not how well lines are kept; so it belongs to the spell, and the outcomes of other days
to the chance of keeping.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import timedelta
from enum import IntEnum
from functools import lru_cache
from typing import TYPE_CHECKING

from coach.course.model import Slot
from coach.course.recurrence import is_most_days
from coach.progress.opening import Phase

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from datetime import date

    from coach.course.model import Step
    from coach.progress.opening import Opening
    from coach.progress.state import State


class Kind(IntEnum):
    """Lines that are kept alike: those of most days by their part of the day, the seldom ones together."""

    MORNING = 0
    ANYTIME = 1
    EVENING = 2
    SELDOM = 3


KINDS = len(Kind)
_BY_SLOT = {Slot.MORNING: Kind.MORNING, Slot.ANYTIME: Kind.ANYTIME, Slot.EVENING: Kind.EVENING}


def kind_of(step: Step) -> Kind:
    """The kind of a step: by its part of the day if it falls on most days, else the seldom one."""
    return _kind(step.slot, step.repeats)


@lru_cache(maxsize=1024)
def _kind(slot: Slot, repeats: str) -> Kind:
    return _BY_SLOT[slot] if is_most_days(repeats) else Kind.SELDOM


@dataclass(frozen=True, slots=True)
class DayTold:
    """The outcomes of one day that was not quiet, by kind: how many were kept, and how many there were."""

    date: date
    kept: tuple[int, ...]
    outcomes: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Quiet:
    """One day that tells whether the household was quiet.

    Attributes:
        quiet: Whether it was.
        before: Whether the latest such day before it was quiet; None where a pause lies between them.
    """

    date: date
    quiet: bool
    before: bool | None


@dataclass(frozen=True, slots=True)
class Evidence:
    """What the days of a log told.

    Attributes:
        started: The household's first day.
        through: The last day taken in.
        told: The days with an outcome that were not quiet, in order.
        spells: The days that tell whether the household was quiet, in order.
        quiet: Whether it is quiet now: at the latest day that tells, unless a pause came after it.
    """

    started: date
    through: date
    told: tuple[DayTold, ...] = ()
    spells: tuple[Quiet, ...] = ()
    quiet: bool = False

    @property
    def outcomes(self) -> int:
        """How many outcomes there are."""
        return sum(sum(day.outcomes) for day in self.told)


def evidence_of(started: date, closed: Iterable[tuple[Opening, State]]) -> Evidence:
    """What household days told.

    Args:
        started: The household's first day.
        closed: The days in order, each as it opened and with the state after its close, as the situation's
            `closed` gives them. What a day tells is taken before the next one is asked for.
    """
    found = _Gathering(started)
    for opening, state in closed:
        found.take(opening, state)
    through = found.through or started - timedelta(days=1)
    return Evidence(started, through, tuple(found.told), tuple(found.spells), bool(found.before))


@dataclass(slots=True)
class _Gathering:
    """Takes in days as they close.

    Attributes:
        before: Whether the latest day that tells was quiet. Nobody was before the first day; after a pause,
            and where the days begin later, it is not known.
    """

    started: date
    before: bool | None = None
    told: list[DayTold] = field(default_factory=list)
    spells: list[Quiet] = field(default_factory=list)
    through: date | None = None

    def take(self, opening: Opening, state: State) -> None:
        day = self.through = opening.date
        if day == self.started:
            self.before = False
        quiet = is_quiet(opening)
        if opening.phase is Phase.PAUSED:
            self.before = None
        if quiet is None:
            return
        self.spells.append(Quiet(day, quiet, self.before))
        self.before = quiet
        if not quiet:
            self.told.extend(_told(opening, state))


def _told(opening: Opening, state: State) -> Iterator[DayTold]:
    """The outcomes of a day, if it had any."""
    day = opening.date
    kept, outcomes = [0] * KINDS, [0] * KINDS
    for step_id in opening.checklist:
        record = state.records[step_id]
        if record.outcomes and record.outcomes[-1][0] == day:
            kind = kind_of(record.step)
            kept[kind] += record.outcomes[-1][1]
            outcomes[kind] += 1
    if any(outcomes):
        yield DayTold(day, tuple(kept), tuple(outcomes))


def is_quiet(opening: Opening) -> bool | None:
    """Whether a household day was quiet; None where it tells nothing: a paused day, or an empty checklist.

    A lapsed day is one more of the spell that led to it. A return day ends the spell, even if the household
    said only that it is back.
    """
    if opening.phase is Phase.LAPSED:
        return True
    if opening.comeback is not None:
        return False
    if opening.phase is Phase.PAUSED or not opening.checklist:
        return None
    return not opening.marks
