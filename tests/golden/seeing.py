"""What a household sees while it lives its diary: each morning's look at the day, each week's area."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from around.seen import around
from coach.areas import overview as areas
from coach.areas import week as area_week
from coach.coaching.library import FolderLibrary
from coach.ground.ports import Context
from coach.kitchen import shopping
from coach.store.memory import MemoryStore
from golden.diary import NINETY_DAYS, diary_of
from golden.doing import LATE, LOOK, MORNING, Living, instant
from habits.house import HOME

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from coach.areas.answers import Areas, AreaWeekView, ModeName
    from coach.around.answers import Around
    from coach.kitchen.answers import Shopping
    from coach.progress.log import Row
    from golden.diary import Diary


@dataclass(frozen=True, slots=True)
class SeenDay:
    """A day at half past 7.

    Attributes:
        shopping: The list of the coming week, on a day of errands.
        balance: What was accepted, in words.
    """

    date: date
    around: Around
    shopping: Shopping | None
    balance: str | None

    @property
    def away(self) -> bool:
        """Whether nothing is due because the household is away."""
        return self.around.load is not None and self.around.load.rest == "away"


@dataclass(frozen=True, slots=True)
class SeenWeek:
    """A week's area as it stands on the evening of its last day.

    Attributes:
        home: The areas as they are divided.
        away: How many of its days the household was away.
        late: What was told in it of an earlier week, as the diary says it.
    """

    area: AreaWeekView
    home: Areas
    away: int
    late: tuple[str, ...]

    def tasks(self, area: str) -> list[str]:
        """The ids of an area's tasks, of the list that is worked on."""
        found = next(one for one in self.home.areas if one.area == area)
        return [task.task for task in (found.detail if self.area.list == "detail" else found.declutter)]


@dataclass(slots=True)
class Seen:
    """All that was seen, in order, and the household as it stands in the end."""

    living: Living
    days: list[SeenDay] = field(default_factory=list)
    weeks: list[SeenWeek] = field(default_factory=list)


def seen(mode: ModeName, told: Sequence[Row] | None = None) -> Seen:
    """Live the ninety days, with the areas going one after the other, by month or by need.

    Args:
        mode: How the areas go.
        told: The log of the days as they were lived once before; what areas do changes nothing in it.
    """
    diary = diary_of(NINETY_DAYS)
    clock = [instant(diary.days[0], MORNING)]
    context = Context(MemoryStore(), FolderLibrary(), lambda: clock[0])
    found = Seen(Living(context, diary, mode, clock, told))
    for day in diary.days:
        _live(found, day)
    return found


def _live(found: Seen, day: date) -> None:
    living = found.living
    living.morning(day)
    living.at(day, LOOK)
    found.days.append(_look(living, day))
    living.evening(day)
    living.at(day, LATE)
    if day.weekday() == 6 or day == living.diary.days[-1]:
        found.weeks.append(_week(found, day))


def _look(living: Living, day: date) -> SeenDay:
    looked = around(living.context, HOME)
    errands = looked.kitchen is not None and looked.kitchen.errands is not None
    to_buy = shopping.shopping(living.context, HOME) if errands else None
    return SeenDay(day, looked, to_buy, living.balances.get(day))


def _week(found: Seen, day: date) -> SeenWeek:
    context = found.living.context
    area, home = area_week.this_week(context, HOME), areas.all_areas(context, HOME)
    away = sum(one.away for one in found.days if one.date >= area.week)
    return SeenWeek(area, home, away, tuple(_told_late(found.living.diary, area.week, day)))


def _told_late(diary: Diary, first: date, last: date) -> list[str]:
    doings = (doing for doing in diary.doings if first <= doing.on <= last and doing.what == "did")
    return [doing.about for doing in doings]
