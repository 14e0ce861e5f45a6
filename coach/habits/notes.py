"""What today's page says beside its list, as values: what is new, what could be less, what could help."""

# Pydantic reads these annotations at run time.
import datetime as dt
from dataclasses import dataclass
from typing import Literal

from coach.progress.arrival import Cause

SlotName = Literal["morning", "anytime", "evening"]


@dataclass(frozen=True, slots=True)
class NamedStep:
    """A step and what it is called."""

    step: str
    title: str


@dataclass(frozen=True, slots=True)
class Arrived:
    """The step that came on this day by its turn, and why it did.

    Attributes:
        because: What let it in, nearest first.
        text: The same in a sentence or two.
    """

    step: str
    title: str
    because: tuple["BecauseView", ...]
    text: str


@dataclass(frozen=True, slots=True)
class BecauseView:
    """One thing that let a step in; the members are those of `coach.progress.arrival.Because`."""

    kind: Cause
    step: str | None
    kept: int | None
    of: int | None


@dataclass(frozen=True, slots=True)
class SettledStep:
    """A step that has settled since the latest day with a mark.

    Attributes:
        kept: Outcomes kept among the latest `of` on the day it settled; both none where they are not known
            any more.
    """

    step: str
    title: str
    kept: int | None
    of: int | None
    text: str


@dataclass(frozen=True, slots=True)
class NewPlace:
    """A place of the bar that opened on this day.

    Attributes:
        place: `week` or `home`.
        word: What it is called there; the text begins with it.
        step: The step that brought it.
    """

    place: Literal["week", "home"]
    word: str
    step: str
    title: str
    text: str


@dataclass(frozen=True, slots=True)
class EmptyDay:
    """The day before was empty.

    Attributes:
        date: That day, which can still be filled in.
        several: Whether others before it were empty too.
    """

    date: dt.date
    several: bool
    text: str


@dataclass(frozen=True, slots=True)
class WaitingLine:
    """A line that stays open for a later day: `until` is the last one, if there is an end to it."""

    step: str
    title: str
    until: dt.date | None


@dataclass(frozen=True, slots=True)
class Few:
    """Only a few today: what stays on the list, and what is left out for today.

    Attributes:
        taken: Whether it has been taken, and can be undone.
        open: Whether it stands open, as it does once two days were empty.
        stay: The lines that stay; of one that was taken, those still open.
        excused: The lines that taking it marks excused; of one that was taken, those it has marked.
        wait: Lines that are left as they are, since they can be done on a later day.
    """

    taken: bool
    open: bool
    stay: tuple[NamedStep, ...]
    excused: tuple[NamedStep, ...]
    wait: tuple[WaitingLine, ...]
    text: str


@dataclass(frozen=True, slots=True)
class StuckStep:
    """A step being practised that could do with help, and what could.

    Attributes:
        because: `lately` (three of its latest four outcomes were missed) or `long` (it waits, and has not
            settled after ten).
        kept: Outcomes kept.
        due: Outcomes in all.
        text: How it went, in words.
    """

    step: str
    title: str
    small: str | None
    slot: SlotName
    cue: str | None
    because: Literal["lately", "long"]
    kept: int
    due: int
    text: str


@dataclass(frozen=True, slots=True)
class Idea:
    """An optional step that would fit."""

    step: str
    title: str
    why: str | None
    minutes: int
    slot: SlotName


@dataclass(frozen=True, slots=True)
class Ideas:
    """What could come next once every step has come, if anything is wanted."""

    steps: tuple[Idea, ...]
    text: str
