"""The area rotation: which area has its turn in which week, for how many minutes each day (home rules)."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from enum import StrEnum
from functools import lru_cache
from typing import TYPE_CHECKING

from coach.errors import Malformed
from coach.ground.weeks import (
    DAYS_IN_WEEK,
    WEEK,
    WeekStart,
    check_weekdays,
    days_of,
    place_in_month,
    week_of,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterator, Sequence

    Away = Callable[[date], bool]

MOST_AREAS = 12
MINUTES_A_WEEK = 40
"""Minutes of a week's turn unless a household says otherwise: two sittings of 20."""

MOST_MINUTES = 1440


class Mode(StrEnum):
    """How the areas follow one another: in their order, by the weeks of the month, or by need."""

    CONTINUOUS = "continuous"
    MONTH = "month"
    NEED = "need"


@dataclass(frozen=True, slots=True)
class Rotation:
    """The order in which areas have their turns. Areas and turns are meant by position and number.

    Attributes:
        areas: How many areas there are, 1 to 12.
        start: The start date; turns are numbered from 0, the turn of the week that holds it.
        starts: The weekday on which weeks begin.
        first: The position, from 1, of the area with turn 0; it matters in continuous mode alone.
        minutes_a_week: Minutes one week's turn has.
        skipped: Turns that were skipped: their weeks stay free.
        swapped: Pairs of turns that changed places, in the order in which that was decided.
    """

    areas: int
    start: date
    mode: Mode = Mode.CONTINUOUS
    starts: WeekStart = WeekStart.MONDAY
    first: int = 1
    minutes_a_week: int = MINUTES_A_WEEK
    skipped: frozenset[int] = frozenset()
    swapped: tuple[tuple[int, int], ...] = ()

    def __post_init__(self) -> None:
        """Refuse what no rotation can be made of."""
        if not 1 <= self.areas <= MOST_AREAS:
            raise Malformed(f"A home has 1 to {MOST_AREAS} areas, not {self.areas}.")
        if not 1 <= self.first <= self.areas:
            raise Malformed(f"The first area needs a number from 1 to {self.areas}, not {self.first}.")
        if not 1 <= self.minutes_a_week <= MOST_MINUTES:
            raise Malformed(f"The minutes a week go from 1 to {MOST_MINUTES}, not {self.minutes_a_week}.")

    @property
    def first_week(self) -> date:
        """The first day of the week that holds the start date."""
        return week_of(self.start, self.starts)


@dataclass(frozen=True, slots=True)
class Turn:
    """Which areas have their turn in one week.

    Attributes:
        week: The week's first day.
        number: The turn's number, from 0; a week that does not count leaves it for the next week.
        areas: Positions of the areas, from 1; none in a catch-up week, a free one, or before the start.
        minutes: Minutes of each of them.
        content: The turn that stands here after all swaps: its own number where none moved it.
        catch_up: Whether the week is for the area with the most minutes left in its pass.
        waits: Whether the week does not count, every day of it being paused or lapsed: the areas keep their
            turn for the next week.
        by_need: Whether the week goes to the area that needs it most, which the rotation alone does not know.
    """

    week: date
    number: int
    areas: tuple[int, ...]
    minutes: tuple[int, ...]
    content: int
    catch_up: bool = False
    waits: bool = False
    by_need: bool = False


def never(_day: date) -> bool:
    """No day was paused or lapsed."""
    return False


def shares(minutes: int, among: int) -> tuple[int, ...]:
    """Minutes split evenly in whole minutes; what is left over goes to the first."""
    share, left = divmod(minutes, among)
    return (share + left, *(share,) * (among - 1))


def turn_of(rotation: Rotation, week: date, number: int, away: Away = never) -> Turn:
    """The turn of one week, whose number is known (see `number_of`).

    Args:
        rotation: The order of the areas.
        week: The week's first day.
        number: Its turn's number; before the start it is negative and no area has a turn.
        away: Whether a date was paused or lapsed (or never happened in the household's zone).
    """
    content = _content(rotation, number)
    turn = Turn(week, number, (), (), content, waits=number >= 0 and not counts(rotation, week, away))
    if number < 0 or content in rotation.skipped:
        return turn
    if rotation.mode is Mode.NEED:
        return replace(turn, by_need=True)
    if rotation.mode is Mode.CONTINUOUS:
        area = (rotation.first - 1 + content) % rotation.areas + 1
        return replace(turn, areas=(area,), minutes=(rotation.minutes_a_week,))
    areas = _areas_of_month_week(rotation.areas, week + (content - number) * WEEK)
    return replace(turn, areas=areas, minutes=_split(rotation, areas), catch_up=not areas)


def _content(rotation: Rotation, number: int) -> int:
    """The turn that stands in this one's place after all swaps."""
    for one, other in reversed(rotation.swapped):
        if number in {one, other}:
            number = other if number == one else one
    return number


@lru_cache(maxsize=4096)
def _areas_of_month_week(areas: int, week: date) -> tuple[int, ...]:
    """Week w of the month is area w's; the last is shared by those that are left, or there are none left."""
    place = place_in_month(week)
    if place.number == place.length and areas > place.length:
        return tuple(range(place.length, areas + 1))
    return (place.number,) if place.number <= areas else ()


def _split(rotation: Rotation, areas: Sequence[int]) -> tuple[int, ...]:
    return shares(rotation.minutes_a_week, len(areas)) if areas else ()


def counts(rotation: Rotation, week: date, away: Away) -> bool:
    """Whether a week uses up its turn; one in which every day was away does not, unless the month decides."""
    return rotation.mode is Mode.MONTH or not all(map(away, days_of(week)))


def number_of(rotation: Rotation, week: date, away: Away = never) -> int:
    """The number of a week's turn: the weeks from the start to before it that count.

    Weeks before the start have negative numbers.
    """
    weeks = (week - rotation.first_week).days // DAYS_IN_WEEK
    if weeks <= 0 or rotation.mode is Mode.MONTH:
        return weeks
    return sum(counts(rotation, rotation.first_week + passed * WEEK, away) for passed in range(weeks))


def turns(rotation: Rotation, week: date, number: int, weeks: int, away: Away = never) -> Iterator[Turn]:
    """The turns of so many weeks in a row, beginning with a week whose turn's number is known.

    Raises:
        Malformed: The calendar has not that many weeks.
    """
    try:
        week + weeks * WEEK
    except OverflowError:
        raise Malformed(f"The calendar has no {weeks} weeks from {week} on. Ask for fewer.") from None
    for _ in range(weeks):
        turn = turn_of(rotation, week, number, away)
        yield turn
        week += timedelta(days=DAYS_IN_WEEK)
        number += not turn.waits


def a_round(rotation: Rotation, number: int = 0) -> int:
    """How many turns it takes from this one on until every area has had one, skips and swaps left aside."""
    if rotation.mode is not Mode.MONTH:
        return rotation.areas
    seen: set[int] = set()
    week = rotation.first_week + number * WEEK
    for taken in range(1, 2 * MOST_AREAS):
        seen.update(_areas_of_month_week(rotation.areas, week + (taken - 1) * WEEK))
        if len(seen) == rotation.areas:
            return taken
    raise AssertionError("Every month serves every area.")


def spread(week: date, minutes: int, weekdays: Collection[int]) -> dict[date, int]:
    """The area's minutes on the dates of a week, evenly over the chosen weekdays (home rules).

    They are split in whole minutes, as those of a shared week are, what is left over going to the first day.

    Args:
        week: The week's first day.
        minutes: Minutes of the week's area or areas together.
        weekdays: The chosen area days, Monday 0. With none chosen no date is given any.

    Raises:
        Malformed: A weekday is none.
    """
    check_weekdays(weekdays)
    chosen = [day for day in days_of(week) if day.weekday() in weekdays]
    return dict(zip(chosen, shares(minutes, len(chosen)), strict=True)) if chosen else {}
