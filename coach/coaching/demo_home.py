"""Tern Street's home plan: areas, dinners, what is due and what is put off, entered as a person would."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from coach.areas import setup as area_setup
from coach.areas import week as area_week
from coach.desk import dues, todos
from coach.desk.dues import TypedDue
from coach.kitchen import dinners as dinner
from coach.kitchen import favourites
from coach.kitchen.dinners import TypedDinner
from coach.kitchen.dishes import TypedDish, TypedFrozen
from coach.week import days as week

if TYPE_CHECKING:
    from coach.ground.ports import Context

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
