"""Tern Street, an invented household: weeks with a lapse and the way back, and the plan of its home."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from random import Random
from typing import TYPE_CHECKING

from coach.areas import setup as area_setup
from coach.areas import week as area_week
from coach.desk import dues, todos
from coach.desk.dues import TypedDue
from coach.kitchen import dinners as dinner
from coach.kitchen import favourites
from coach.kitchen.dinners import TypedDinner
from coach.kitchen.dishes import TypedDish, TypedFrozen
from coach.progress.log import Row, What
from coach.progress.replay import replay
from coach.week import days as week

if TYPE_CHECKING:
    from collections.abc import Iterator

    from coach.course.model import Course
    from coach.ground.ports import Context

ZONE = "Europe/Lisbon"
SEED = 1847
DAYS_BEFORE = 63


@dataclass(frozen=True, slots=True)
class Stretch:
    """Days in a row that went alike.

    Attributes:
        days: How many.
        kept: Chance that a line is kept.
        small: Chance that a kept one is the small version.
        unmarked: Chance that nothing is marked on a day.
    """

    days: int
    kept: float
    small: float = 0.15
    unmarked: float = 0.0


STORY = (
    Stretch(30, kept=0.95),
    Stretch(4, kept=0.45, small=0.4),
    Stretch(7, kept=0.85, unmarked=0.05),
    Stretch(17, kept=0.0, unmarked=1.0),
    Stretch(DAYS_BEFORE - 58, kept=0.9, small=0.3),
)

ROOMS = (
    "Hall",
    "Kitchen",
    "Living room",
    "Bathroom",
    "Upstairs toilet",
    "Our bedroom",
    "Teenager's room",
    "Stairs",
    "Balcony",
)
AREAS = 5
MINUTES = {"MO": 75, "TU": 75, "WE": 60, "TH": 90, "FR": 75, "SA": 150, "SU": 60}
SOUP = TypedDish("Lentil soup", "250 g red lentils\n2 onions\n3 carrots\n1 l stock", cooking="40")
TURKEY = TypedDish(
    "Roast turkey legs",
    "1 kg potatoes\n3 carrots\n1 lemon",
    (TypedFrozen("turkey legs", "3.2 kg", "poultry"),),
    "110",
)
PASTA = TypedDish("Pasta with beans", "400 g pasta\n1 tin of beans\n2 onions", cooking="25")


def tern_street(course: Course, today: date) -> list[Row]:
    """The log of Tern Street up to yesterday, always the same for a date.

    Two adults on changing shifts, a teenager and a dog: four good weeks, a rough week of night shifts, then
    more than two weeks with nothing marked, and a return that is still on its way.
    """
    start = today - timedelta(days=DAYS_BEFORE)
    rows = [
        Row(start, What.ZONE, value=ZONE),
        Row(start, What.DAY_STARTS, value="03:00"),
        Row(start, What.START, course.roots[0].id, "standard"),
    ]
    random = Random(SEED)  # noqa: S311  a story, not a secret
    for day, stretch in _days(start):
        checklist = replay(course, rows, day).checklist
        if random.random() >= stretch.unmarked:
            rows += [Row(day, _mark(random, stretch), step) for step in checklist]
    return rows


def _days(start: date) -> Iterator[tuple[date, Stretch]]:
    day = start
    for stretch in STORY:
        for _ in range(stretch.days):
            yield day, stretch
            day += timedelta(days=1)


def _mark(random: Random, stretch: Stretch) -> What:
    if random.random() >= stretch.kept:
        return What.MISSED
    return What.SMALL if random.random() < stretch.small else What.KEPT


def furnish(context: Context, household: str, today: date) -> None:
    """Enter the plan of Tern Street as it is today, for a household that has started."""
    week.set_available(context, household, MINUTES)
    _areas(context, household, today)
    _dinners(context, household, today)
    _desk(context, household, today)


def _areas(context: Context, household: str, today: date) -> None:
    area_setup.set_up(context, household, ROOMS, AREAS)
    listed = area_week.this_week(context, household).areas[0].listed
    for task in listed[:2]:
        area_week.mark_task(context, household, today, task.task)


def _dinners(context: Context, household: str, today: date) -> None:
    dinner.put(context, household, today, TypedDinner(SOUP, "18:30"))
    dinner.put(context, household, today + timedelta(days=1), TypedDinner(PASTA, "18:30"))
    dinner.put(context, household, today + timedelta(days=5), TypedDinner(TURKEY, "18:00"))
    favourites.keep(context, household, SOUP)
    favourites.keep(context, household, PASTA)


def _desk(context: Context, household: str, today: date) -> None:
    soon, later = today + timedelta(days=6), today + timedelta(days=40)
    dues.add(context, household, TypedDue("Water bill", soon.isoformat(), "FREQ=MONTHLY", "3", "38.20"))
    dues.add(context, household, TypedDue("Bus pass for the teenager", later.isoformat(), needs="10"))
    todos.add(context, household, "Ask about the attic key\nSort the photos of the summer")
    todos.add(context, household, "Mend the drawer that sticks\nOil the balcony door", "put-off")
    todos.add(context, household, "Two keys cut", "errand", "Hardware shop")
    todos.add(context, household, "Dog food\nLight bulbs", "errand", "Market hall")
