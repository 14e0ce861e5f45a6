"""Tern Street, an invented household: weeks with a lapse and the way back, and the plan of its home."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from random import Random
from typing import TYPE_CHECKING

from coach.areas import setup as area_setup
from coach.areas import week as area_week
from coach.desk import dues, todos
from coach.desk.dues import TypedDue
from coach.kitchen import dinners as dinner
from coach.kitchen import favourites, shopping_lines
from coach.kitchen.dinners import TypedDinner
from coach.kitchen.dishes import TypedDish, TypedFrozen
from coach.progress.days import date_of
from coach.progress.log import Row, What
from coach.progress.replay import replay
from coach.week import days as week

if TYPE_CHECKING:
    from collections.abc import Iterator

    from coach.course.model import Course
    from coach.ground.ports import Context

ZONE = "Europe/Lisbon"
DAY_STARTS = time(3)
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

HARD = "tomorrow-by-door"
"""The step that holds on every other evening alone, those of early shifts, and so does not settle."""

DECISIONS = {
    19: (
        What.ADD,
        "dog-brushed",
        {
            "title": "Brush the dog",
            "cue": "after the evening walk",
            "small": "Ten strokes down the back",
            "minutes": 10,
            "repeats": "FREQ=WEEKLY;BYDAY=WE,SA",
            "waits": False,
            "caution": "animals",
        },
    ),
    32: (What.SET_ASIDE, "dog-brushed", None),
    61: (
        What.ADD,
        "balcony-watered",
        {
            "title": "Water the balcony",
            "cue": "when the breakfast things are off the table",
            "minutes": 5,
            "repeats": "FREQ=WEEKLY;BYDAY=SU",
            "after": ["tomorrow-by-door"],
        },
    ),
}
"""What the household decided, by days since the start: the kind of row, the step, what the step is."""

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
MINUTES = {"MO": 60, "TU": 50, "WE": 75, "TH": 75, "FR": 90, "SA": 100, "SU": 60}
"""What there is on each weekday: enough for the jobs it has, but for Tuesday with papers and area time."""
SOUP = TypedDish("Lentil soup", "250 g red lentils\n2 onions\n3 carrots\n1 l stock", cooking="40")
TURKEY = TypedDish(
    "Roast turkey legs",
    "1 kg potatoes\n3 carrots\n1 lemon",
    (TypedFrozen("turkey legs", "3.2 kg", "poultry"),),
    "110",
)
PASTA = TypedDish("Pasta with beans", "400 g pasta\n1 tin of beans\n2 onions", cooking="25")


def their_day(instant: datetime) -> date:
    """The household's date at an instant: for three hours after midnight it is the day before."""
    return date_of(instant, ZONE, DAY_STARTS)


def tern_street(course: Course, today: date) -> list[Row]:
    """The log of Tern Street up to yesterday, always the same for a date.

    Two adults on changing shifts, a teenager and a dog: four good weeks, a rough week of night shifts, then
    more than two weeks with nothing marked, and a return that is still on its way. By then there is a step in
    every state: settled ones, one that does not hold yet, some that rest, one set aside, one still to come.
    """
    start = today - timedelta(days=DAYS_BEFORE)
    rows = [
        Row(start, What.ZONE, value=ZONE),
        Row(start, What.DAY_STARTS, value=f"{DAY_STARTS:%H:%M}"),
        Row(start, What.START, course.roots[0].id, "standard"),
    ]
    random = Random(SEED)  # noqa: S311  a story, not a secret
    for number, (day, stretch) in enumerate(_days(start)):
        rows += _decided(day, number)
        checklist = replay(course, rows, day).checklist
        if random.random() >= stretch.unmarked:
            rows += [Row(day, _mark(random, stretch, step, number), step) for step in checklist]
    return rows


def _decided(day: date, number: int) -> Iterator[Row]:
    if number in DECISIONS:
        what, step, definition = DECISIONS[number]
        yield Row(day, what, step, json.dumps(definition) if definition else "")


def _days(start: date) -> Iterator[tuple[date, Stretch]]:
    day = start
    for stretch in STORY:
        for _ in range(stretch.days):
            yield day, stretch
            day += timedelta(days=1)


def _mark(random: Random, stretch: Stretch, step: str, number: int) -> What:
    if random.random() >= stretch.kept or (step == HARD and number % 2):
        return What.MISSED
    return What.SMALL if random.random() < stretch.small else What.KEPT


def furnish(context: Context, household: str, today: date) -> None:
    """Enter the plan of Tern Street as it is today, for a household that has started."""
    week.set_available(context, household, MINUTES)
    _areas(context, household, today)
    _dinners(context, household, today)
    _desk(context, household, today)


def _areas(context: Context, household: str, today: date) -> None:
    area_setup.set_up(context, household, ROOMS)
    listed = area_week.this_week(context, household).areas[0].listed
    for task in listed[:2]:
        area_week.mark_task(context, household, today, task.task)


def _dinners(context: Context, household: str, today: date) -> None:
    dinner.put(context, household, today, TypedDinner(SOUP, "18:30"))
    dinner.put(context, household, today + timedelta(days=1), TypedDinner(PASTA, "18:30"))
    dinner.put(context, household, today + timedelta(days=5), TypedDinner(TURKEY, "18:00"))
    favourites.keep(context, household, SOUP)
    favourites.keep(context, household, PASTA)
    shopping_lines.add(context, household, "Bin bags\n2 l milk\n250 g red lentils")


def _desk(context: Context, household: str, today: date) -> None:
    for due in _dues(today):
        dues.add(context, household, due)
    todos.add(context, household, "Ask about the attic key\nSort the photos of the summer")
    todos.add(context, household, "Mend the drawer that sticks\nOil the balcony door", "put-off")
    todos.add(context, household, "Two keys cut", "errand", "Hardware shop")
    todos.add(context, household, "Dog food\nLight bulbs", "errand", "Market hall")


def _dues(today: date) -> Iterator[TypedDue]:
    """An appointment of today, a bill of next week, a renewal that is some way off."""
    soon, later = (str(today + timedelta(days=ahead)) for ahead in (6, 40))
    yield TypedDue("Dentist for the teenager", str(today), time="16:10")
    yield TypedDue("Water bill", soon, "FREQ=MONTHLY", "3", "38.20")
    yield TypedDue("Bus pass for the teenager", later, needs="10")
