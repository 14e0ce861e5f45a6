"""Invented homes of one group: what each is like, and the days that the rules make of that."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from random import Random
from typing import TYPE_CHECKING

from coach.ground.groups import BY_NAME, COUNTED, NOTHING
from coach.progress.closing import close_day
from coach.progress.days import ONE_DAY
from coach.progress.journal import Version, journal
from coach.progress.log import Row, What
from coach.progress.opening import open_day
from coach.progress.replay import begin

if TYPE_CHECKING:
    from collections.abc import Iterator

    from coach.course.model import Course
    from coach.ground.groups import Level
    from coach.progress.opening import Opening
    from coach.progress.state import State

ZONE = "Europe/Lisbon"
DAY_STARTS = "03:00"
SEED = 4021
WEEKS = (13, 9, 5)
"""So many weeks ago they began, in three lots: of fewer than five in a week nothing may be told."""

LANES = (
    "Alder", "Barley", "Chalk", "Dovecote", "Elm", "Ferry", "Gorse", "Harrow", "Ivy", "Juniper", "Kiln",
    "Larch", "Mill", "Nettle", "Orchard", "Paddock", "Quarry", "Rook", "Saddle", "Thistle", "Upper", "Vine",
    "Willow", "Yarrow",
)  # fmt: skip
ENDS_OF_LANES = ("Row", "Steps", "Yard", "Corner", "Court")
NAMES = tuple(f"{lane} {end}" for end in ENDS_OF_LANES for lane in LANES)
KEEPERS = (
    "Ana", "Ben", "Carla", "Dario", "Elif", "Femi", "Greta", "Hugo", "Ines", "Jonas", "Karin", "Leon", "Mara",
    "Nils", "Olga", "Paulo", "Quinn", "Rosa", "Sami", "Tilda",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Temper:
    """How a home's days go.

    Attributes:
        kept: Chance that a line is kept.
        small: Chance that a kept one is the small version.
        unmarked: Chance that nothing is marked on a day.
        stalls_at: The number of the step, from 0 in course order, that holds on one day in three alone.
        away: From which day, counted from 0, nothing is marked, and for how many days.
        asides: The day on which the step that came last is set aside.
        pace: The pace it follows.
    """

    kept: float
    small: float = 0.15
    unmarked: float = 0.03
    stalls_at: int | None = None
    away: tuple[int, int] | None = None
    asides: int | None = None
    pace: str = "standard"


GONE = 9999
"""Days that do not end within the story."""

TEMPERS = (
    Temper(0.93),
    Temper(0.9, stalls_at=3),
    Temper(0.86, small=0.25, away=(9, GONE)),
    Temper(0.92, stalls_at=5, asides=26),
    Temper(0.86, small=0.3, away=(20, 12)),
    Temper(0.9, stalls_at=3, pace="gentle"),
    Temper(0.9, away=(12, GONE)),
    Temper(0.9, stalls_at=5, asides=34),
)
"""Each of them is had by fifteen homes, whose chances fall differently."""

LEVELS: tuple[Level, ...] = (BY_NAME, COUNTED, COUNTED, COUNTED, COUNTED, NOTHING, COUNTED)
"""What they let their coach see, by turns: most are counted, so that there are numbers to tell."""


@dataclass(frozen=True, slots=True)
class InventedHome:
    """One of the homes.

    Attributes:
        number: Its place among them, from 0.
        name: What it is called.
        keeper: What its keeper is called.
        level: What it lets its coach see.
        started: The date of its start.
        log: What it logged up to yesterday.
    """

    number: int
    name: str
    keeper: str
    level: Level
    started: date
    log: tuple[Row, ...]


def homes(course: Course, today: date) -> Iterator[InventedHome]:
    """The homes up to yesterday, always the same for a date and a course."""
    for number, name in enumerate(NAMES):
        started = _start(number, today)
        turn = number // len(WEEKS)
        temper = TEMPERS[turn % len(TEMPERS)]
        log = lived(course, temper, started, today, Random(SEED + number))  # noqa: S311  a story, not a secret
        keeper = KEEPERS[number % len(KEEPERS)]
        yield InventedHome(number, name, keeper, LEVELS[turn % len(LEVELS)], started, tuple(log))


def _start(number: int, today: date) -> date:
    """They begin on Mondays, by turns."""
    weeks_ago = WEEKS[number % len(WEEKS)]
    return today - timedelta(days=today.weekday() + 7 * weeks_ago)


def lived(course: Course, temper: Temper, started: date, today: date, random: Random) -> list[Row]:
    """The log of a home up to the day before `today`: it marks what the rules put on its list."""
    rows = [
        Row(started, What.ZONE, value=ZONE),
        Row(started, What.DAY_STARTS, value=DAY_STARTS),
        Row(started, What.START, course.roots[0].id, temper.pace),
    ]
    versions = [Version(date.min, course)]
    state = begin(journal(versions, rows))
    day, number = started, 0
    while day < today:
        decided = list(_decided(state, temper, day, number))
        today_so_far = decided if number else [*rows, *decided]
        opening = open_day(state.copy(), journal(versions, today_so_far), day)
        marks = list(_marks(opening, course, temper, number, random))
        close_day(state, open_day(state, journal(versions, [*today_so_far, *marks]), day))
        rows += [*decided, *marks]
        day, number = day + ONE_DAY, number + 1
    return rows


def _decided(state: State, temper: Temper, day: date, number: int) -> Iterator[Row]:
    if number == temper.asides:
        practised = [one for one in state.records.values() if one.introduced and not one.settled]
        if practised:
            yield Row(day, What.SET_ASIDE, practised[-1].step.id)
    if state.lapsed and temper.away is not None and number == sum(temper.away):
        yield Row(day, What.RESUME)


def _marks(opening: Opening, course: Course, temper: Temper, number: int, random: Random) -> Iterator[Row]:
    first, days = temper.away or (GONE, 0)
    is_away = first <= number < first + days
    # The chance is drawn on days away too, so that what follows does not depend on them.
    if random.random() < temper.unmarked or is_away:
        return
    hard = None if temper.stalls_at is None else course.steps[temper.stalls_at].id
    for step in opening.checklist:
        chance = temper.kept / 3 if step == hard else temper.kept
        if random.random() >= chance:
            yield Row(opening.date, What.MISSED, step)
        else:
            yield Row(opening.date, What.SMALL if random.random() < temper.small else What.KEPT, step)
