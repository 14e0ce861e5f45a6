"""How far households are with the steps of their course, as it is saved and counted for their coach."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, NamedTuple

if TYPE_CHECKING:
    from datetime import date

    from coach.ground.groups import Enrolment, Level


Ending = Literal["open", "settled", "set aside", "lapsed", "left"]


@dataclass(frozen=True, slots=True)
class Spell:
    """One household's time with one step of its course, from its introduction to its first end.

    Attributes:
        step: The step.
        digest: The version of the course that held when it was introduced.
        entered_on: The date on which it was introduced.
        days: Household days from then on, paused ones not counted, up to its end or to the last closed day;
            the day of introduction is 1.
        ending: How it ended; `open` while it has not.
        ended_on: The date of that end; None while open.
        state: Where the step stands now: practising, settled, resting or set-aside.
        settled_on: The date on which it settled; None: it has not.
        outcomes: Its outcomes so far, kept or missed.
        sunday_days: The days as of the last Sunday that is taken in; 0: it had not begun by then.
        sunday_ending: How it stood as of that Sunday.
        pace: The pace the household followed when it was introduced.
    """

    step: str
    digest: str
    entered_on: date
    days: int
    ending: Ending
    ended_on: date | None
    state: str
    settled_on: date | None
    outcomes: int
    sunday_days: int
    sunday_ending: Ending
    pace: str = ""


@dataclass(frozen=True, slots=True)
class Followed:
    """How far a household's days are saved for its coach, and what follows from them; never single marks.

    Attributes:
        through: The last closed day that is taken in.
        started_on: The date of its start.
        phase: Its phase on that day.
        last_mark: The date of its last mark; None: it has none.
        due_since: Days since then on which a list was due.
        weeks: Its phase at the end of each week since the start, the first week first.
    """

    through: date
    started_on: date
    phase: str
    last_mark: date | None
    due_since: int
    weeks: tuple[str, ...]


class Paced(NamedTuple):
    """How many spells of a step, begun at a pace, ended so on that day of theirs, or are open after so many.

    Attributes:
        pace: The pace that was followed when they began.
        days: The day.
        ending: How they ended.
        households: How many.
    """

    pace: str
    days: int
    ending: Ending
    households: int


class Ended(NamedTuple):
    """How many spells of a version's step ended so on that day of theirs, or are open after so many.

    Attributes:
        digest: The version of the course that held when they began.
        step: The step.
        days: The day.
        ending: How they ended.
        level: What those households let be seen.
        households: How many.
    """

    digest: str
    step: str
    days: int
    ending: Ending
    level: Level
    households: int


class Weeks(NamedTuple):
    """How many households that started on a date were in these phases at the ends of their weeks since.

    Attributes:
        started_on: The date.
        weeks: A phase for each week that is over, the first one first.
        level: What those households let be seen.
        households: How many.
    """

    started_on: date
    weeks: tuple[str, ...]
    level: Level
    households: int


class SeenHousehold(NamedTuple):
    """A household with what is saved of its days; None while nothing is."""

    enrolment: Enrolment
    followed: Followed | None
