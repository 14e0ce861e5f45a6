"""When what is frozen has to leave the freezer, as it stands now and in words (home rules)."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from coach.ground.clock import wall_after
from coach.ground.wording import near_date
from coach.kitchen.answers import FrozenView
from coach.kitchen.rules.dinner import refrigerator_days, stage, thaw

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from datetime import date

    from coach.kitchen.answers import StageName
    from coach.kitchen.rules.dinner import Dish, FrozenItem, Thaw

CAUTION = "thaw"
FROM_FROZEN = (
    "Whether it may be cooked from frozen, and how long that takes, is for its packet and the food authority "
    "of your country to say. The figures used here do not cover it."
)
_QUARTER = timedelta(minutes=15)


@dataclass(frozen=True, slots=True)
class Kitchen:
    """The clock that thawing goes by.

    Attributes:
        now: What it shows.
        zone: IANA name.
    """

    now: datetime
    zone: str


@dataclass(frozen=True, slots=True)
class _Case:
    """One frozen item with its times."""

    item: FrozenItem
    times: Thaw
    at: datetime
    cooking: int
    kitchen: Kitchen

    @property
    def now(self) -> datetime:
        """What the clock shows."""
        return self.kitchen.now

    @property
    def today(self) -> date:
        """The date it shows."""
        return self.now.date()


def frozen_views(
    dish: Dish, at: datetime, left: Sequence[date | None], kitchen: Kitchen
) -> tuple[FrozenView, ...]:
    """The frozen items of a dinner as they stand.

    Args:
        dish: What is cooked.
        at: The dinner's time by the kitchen's clock.
        left: For each item the date it left the freezer, if it has.
        kitchen: Its clock.
    """
    return tuple(
        _view(number, _case(item, dish, at, kitchen), out)
        for number, (item, out) in enumerate(zip(dish.frozen, left, strict=True), 1)
    )


def is_to_leave_by(dish: Dish, on: date, day: date) -> bool:
    """Whether anything of a dinner on a date may have to leave the freezer by a day.

    It costs little, so that of a year of dinners only the near ones are worked out.
    """
    return any(on - timedelta(days=refrigerator_days(item.weight)) <= day for item in dish.frozen)


def _case(item: FrozenItem, dish: Dish, at: datetime, kitchen: Kitchen) -> _Case:
    times = thaw(item.weight, item.kind, at, dish.cooking, kitchen.zone)
    return _Case(item, times, at, dish.cooking, kitchen)


def _view(number: int, case: _Case, left_on: date | None) -> FrozenView:
    times, stands = case.times, _stands(case, left_on)
    return FrozenView(
        number=number,
        name=case.item.name,
        weight=case.item.weight.typed,
        kind=case.item.kind.value,
        refrigerator_by=times.refrigerator_by,
        not_before=times.not_before,
        cold_water_by=times.cold_water_by,
        refrigerator_days=times.refrigerator_days,
        cold_water_minutes=times.cold_water_minutes,
        left_on=left_on,
        stage=stands,
        text=_text(case, stands, left_on),
        instead=tuple(_instead(case)) if stands == "too-late" else (),
    )


def _stands(case: _Case, left_on: date | None) -> StageName:
    if left_on is not None:
        return "left"
    return "over" if case.now > case.at else stage(case.times, case.now).value


def _text(case: _Case, stands: StageName, left_on: date | None) -> str:
    times = case.times
    by, water = near_date(times.refrigerator_by, case.today), _moment(times.cold_water_by, case.today)
    if stands == "early":
        return f"Into the refrigerator from {near_date(times.not_before, case.today)}, at the latest {by}."
    if stands == "refrigerator":
        return f"Into the refrigerator, at the latest {by}; or into cold water, at the latest {water}."
    if stands == "cold-water":
        return (
            f"It is too late for the refrigerator. Into cold water, at the latest {water}; "
            "change the water every 30 minutes, and cook it at once."
        )
    if stands == "too-late":
        return f"It is too late for both: the refrigerator ({by}) and cold water ({water})."
    if stands == "left":
        return f"It left the freezer {near_date(left_on, case.today) if left_on else ''}."
    return ""


def _instead(case: _Case) -> Iterator[str]:
    """What is left when both ways are past: a later hour, another day, another dish; never a guess."""
    minutes = timedelta(minutes=case.cooking + case.times.cold_water_minutes)
    ready = _full_quarter(wall_after(case.now, minutes, case.kitchen.zone))
    if ready.date() == case.at.date():
        yield f"Eat later: in cold water from now on, it can be dinner at {ready:%H:%M}."
    later = near_date(case.today + timedelta(days=case.times.refrigerator_days), case.today)
    yield f"Change the day: moved to the refrigerator today, it can be dinner {later} or after."
    yield "Change the dish: have something else, and leave this in the freezer."
    yield FROM_FROZEN


def _full_quarter(moment: datetime) -> datetime:
    """The next full quarter of an hour, so that nobody is a minute short."""
    past = timedelta(minutes=moment.minute % 15, seconds=moment.second, microseconds=moment.microsecond)
    return moment - past + _QUARTER if past else moment


def _moment(moment: datetime, today: date) -> str:
    return f"{near_date(moment.date(), today)} at {moment:%H:%M}"
