"""What is saved of a household's days for its coach: its spells, its phases by week, its last mark."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING, NamedTuple

from coach.coaching.rules.spells import Spells
from coach.ground.spells import Followed, Spell
from coach.ground.weeks import DAYS_IN_WEEK
from coach.progress.replay import begin, each_closed
from coach.progress.standing import stand_of

if TYPE_CHECKING:
    from coach.coaching.rules.spells import Stretch
    from coach.ground.spells import Ending
    from coach.progress.journal import Journal
    from coach.progress.opening import Opening
    from coach.progress.state import State


class Saved(NamedTuple):
    """What is saved of a household's days, with its spells in the order in which they began."""

    followed: Followed
    spells: tuple[Spell, ...]


@dataclass(slots=True)
class Trail:
    """What the days that were taken in come to.

    Attributes:
        started: The date of the start.
        spells: The spells up to the latest of them.
        weeks: The phase at the end of each week that is over.
        phase: The phase of the latest of them; empty before the first.
        last_mark: The date of the last mark.
        due_since: Days since it, or since the start, on which a list was due.
        through: The latest of them.
        marked: Whether one of the days taken in had a mark.
    """

    started: date
    spells: Spells = field(default_factory=lambda: Spells([]))
    weeks: list[str] = field(default_factory=list)
    phase: str = ""
    last_mark: date | None = None
    due_since: int = 0
    through: date | None = None
    marked: bool = False

    def take(self, opening: Opening, state: State) -> None:
        """Take in a day; the state is the one after its close."""
        self.end_weeks((opening.date - self.started).days)
        self.spells.take(opening, state)
        if opening.marks:
            self.last_mark, self.due_since, self.marked = opening.date, 0, True
        elif opening.checklist:
            self.due_since += 1
        self.phase, self.through = opening.phase.value, opening.date

    def end_weeks(self, days: int) -> None:
        """Take in that so many days of the calendar are over, counted from the start."""
        self.weeks += [self.phase] * (days // DAYS_IN_WEEK - len(self.weeks))


class AsOf(NamedTuple):
    """How a spell stood as of a day."""

    days: int
    ending: Ending


NOT_BEGUN = AsOf(0, "open")


def sunday_before(day: date) -> date:
    """The latest Sunday up to a date; the calendar's first day where it begins later than that."""
    return date.fromordinal(max(1, day.toordinal() - day.isoweekday() % DAYS_IN_WEEK))


def saved_through(book: Journal, last: date) -> Saved | None:
    """What is saved through a closed day, folded from the start; None if no day had closed by then.

    Raises:
        Malformed: The log has no start, or one that the course does not offer.
    """
    state = begin(book)
    return fold(Trail(state.started), state, book, last)


def fold(trail: Trail, state: State, book: Journal, last: date) -> Saved | None:
    """Fold on through a closed day what a trail and a state of the same day hold; None if none had closed."""
    _go(trail, state, book, sunday_before(last))
    sunday = {id(one): AsOf(one.days, one.ending) for one in trail.spells.stretches}
    _go(trail, state, book, last)
    if trail.through is None:
        return None
    trail.end_weeks((last - trail.started).days + 1)
    spells = (_spell(one, sunday.get(id(one), NOT_BEGUN)) for one in trail.spells.stretches)
    return Saved(_followed(trail, trail.through), tuple(spells))


def _go(trail: Trail, state: State, book: Journal, last: date) -> None:
    for opening in each_closed(state, book, trail.started, last):
        trail.take(opening, state)


def _followed(trail: Trail, through: date) -> Followed:
    return Followed(
        through=through,
        started_on=trail.started,
        phase=trail.phase,
        last_mark=trail.last_mark,
        due_since=trail.due_since,
        weeks=tuple(trail.weeks),
    )


def _spell(one: Stretch, sunday: AsOf) -> Spell:
    return Spell(
        step=one.record.base.id,
        digest=one.digest,
        entered_on=one.entered_on,
        days=one.days,
        ending=one.ending,
        ended_on=one.ended_on,
        state=stand_of(one.record).value,
        settled_on=one.record.settled,
        outcomes=one.record.due,
        sunday_days=sunday.days,
        sunday_ending=sunday.ending,
        pace=one.pace,
    )
