"""What a household is told of its start, its settings, its data, and the pages open to it."""

# Pydantic reads these annotations at run time.
import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field

from coach.ground.kept import Kept
from coach.ground.people import Session
from coach.habits.notes import SlotName


@dataclass(frozen=True, slots=True)
class RootChoice:
    """A step a household can begin with, and why one would."""

    step: str
    title: str
    why: str | None
    minutes: int
    slot: SlotName


@dataclass(frozen=True, slots=True)
class Start:
    """What the start page offers."""

    course: str
    title: str
    summary: str
    roots: tuple[RootChoice, ...]
    paces: tuple[str, ...]
    pace_words: Mapping[str, str]
    zones: tuple[str, ...]
    started: bool


@dataclass(frozen=True, slots=True)
class PaceChoice:
    """A pace of the course.

    Attributes:
        pace: Its name.
        kept: How often most of the steps that others wait for have to be kept, of the latest `of` times, to
            settle.
        text: What it means, in a sentence or two.
    """

    pace: str
    kept: int
    of: int
    text: str


@dataclass(frozen=True, slots=True)
class Pace:
    """The pace in force, and those a household can choose from."""

    pace: str
    paces: tuple[PaceChoice, ...]


@dataclass(frozen=True, slots=True)
class Settings:
    """The household's settings in force; `week_starts` is `monday` or `sunday`."""

    zone: str
    day_starts: str
    minutes: int | None
    pace: str
    paces: tuple[PaceChoice, ...]
    zones: tuple[str, ...]
    week_starts: str


@dataclass(frozen=True, slots=True)
class Imported:
    """What an import brought: how many rows, and the dates of the first and the last.

    Attributes:
        later: How many of the rows are dated after today; they take effect when their dates come.
    """

    rows: int
    first: dt.date | None
    last: dt.date | None
    later: int


@dataclass(frozen=True, slots=True)
class Places:
    """Which pages of the home plan are open.

    Attributes:
        started: Whether the household has started.
        open: Those open, in the order they are shown in.
    """

    started: bool
    open: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Side:
    """One of the two.

    Attributes:
        rows: Rows of the log.
        days: Dates with a mark.
        marks: Marks that hold.
        steps: Steps with a mark that holds.
        first: The date of its first row.
        last: The date of its last row.
        plan: What is planned: how many values hold; none where the plan stays as it is.
    """

    rows: int
    days: int
    marks: int
    steps: int
    first: dt.date | None
    last: dt.date | None
    plan: int | None


@dataclass(frozen=True, slots=True)
class Alone:
    """What stands on one side alone.

    Attributes:
        rows: Rows of the log.
        marks: Those of them that set a mark or take it back.
        days: How many dates these have.
        first: The first of the dates.
        last: The last of them.
        plan: What is planned and stands so on this side alone; none where the plan stays as it is.
    """

    rows: int
    marks: int
    days: int
    first: dt.date | None
    last: dt.date | None
    plan: int | None


@dataclass(frozen=True, slots=True)
class Comparison:
    """What is here now beside what would take its place.

    Attributes:
        now: What is here; none before the household's start.
        file: What would take its place.
        same: Rows in both.
        lost: What is here alone, and would go.
        gained: What would come.
        seen: The version of what is here; it grows with every change.
    """

    now: Side | None
    file: Side
    same: int
    lost: Alone
    gained: Alone
    seen: int


@dataclass(frozen=True, slots=True)
class Ahead:
    """Rows of the log that are dated after today, by a clock that was ahead or a slip in a file.

    Attributes:
        today: The date by the clock.
        start: The date of the start, if that lies after today.
    """

    today: dt.date
    rows: int
    first: dt.date
    last: dt.date
    start: dt.date | None


@dataclass(frozen=True, slots=True)
class Brought:
    """What an import brought, and the copy that was kept of what was there before, if there was anything."""

    imported: Imported
    kept: Kept | None


@dataclass(frozen=True, slots=True)
class PairingCode:
    """A code that lets one device in.

    Attributes:
        code: The letters to type.
        link: The page that takes it, with the code in the part that no browser sends.
        expires_at: When it is over.
    """

    code: str
    link: str
    expires_at: dt.datetime


@dataclass(frozen=True, slots=True)
class Paired:
    """A device that was let in.

    Attributes:
        household: The household.
        person: Whose it is.
        name: What that person is called.
        secret: What it shows from now on; said this once.
        session: The device as it is kept.
    """

    household: str
    person: str
    name: str
    secret: str = field(repr=False)
    session: Session
