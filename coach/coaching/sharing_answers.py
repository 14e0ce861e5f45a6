"""What a household is told of what its coach may see."""

# Pydantic reads these annotations at run time.
import datetime as dt
from dataclasses import dataclass
from typing import Literal

from coach.coaching.answers import HouseholdView

SharingLevel = Literal["nothing", "counted", "by name"]
Asking = Literal["", "soon", "over"]


@dataclass(frozen=True, slots=True)
class SharedWith:
    """The group whose coach may see something.

    Attributes:
        name: What it is called.
        coach: What its coach is called.
        title: The title of its course.
        since: The date on which the household came into it.
    """

    name: str
    coach: str
    title: str
    since: dt.date


@dataclass(frozen=True, slots=True)
class CountedStep:
    """A step as the sums have it, as of the last Sunday night.

    Attributes:
        step: The step.
        title: Its title.
        days: The household's days with it, up to its end or to that Sunday.
        ending: How it ended; `open`: it is still being practised.
    """

    step: str
    title: str
    days: int
    ending: str


@dataclass(frozen=True, slots=True)
class Counted:
    """What goes into sums of several households; none of it is shown by itself.

    Attributes:
        as_of: The Sunday that the sums are as of.
        steps: For each step, one household more among those that began it and ended so, or are still at it.
        week_of: The first day of the week of its start, whose row of the weeks it is in.
        weeks: Its phase at the end of each week since.
    """

    as_of: dt.date
    steps: tuple[CountedStep, ...]
    week_of: dt.date | None
    weeks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Choice:
    """What was chosen, and when.

    Attributes:
        level: The level; empty: the household left its group.
        until: The last date on which it holds; none for `nothing`.
        at: When it was chosen.
        name: Who chose it; empty: the household alone, or somebody who belongs to it no more.
    """

    level: str
    until: dt.date | None
    at: dt.datetime
    name: str


@dataclass(frozen=True, slots=True)
class Sharing:
    """What a household lets its coach see, and what each level would show of it.

    Attributes:
        group: The group; none: it is in none, and nobody but its members sees anything.
        name: What the household is called.
        level: What was chosen.
        until: The last date on which that holds; none for `nothing`.
        in_force: What the coach may see today: `nothing` once it has ended.
        asking: `soon`, where it ends within two weeks; `over`, where it has ended; else empty.
        usual_until: The date to which a choice made today holds if no other is named, and at the latest.
        counted: What goes into sums at `counted` and at `by name`; none before its first day has closed.
        by_name: What the coach would see at `by name`; none outside a group.
        history: What was chosen so far, the latest first.
    """

    group: SharedWith | None
    name: str
    level: SharingLevel
    until: dt.date | None
    in_force: SharingLevel
    asking: Asking
    usual_until: dt.date
    counted: Counted | None
    by_name: HouseholdView | None
    history: tuple[Choice, ...]
