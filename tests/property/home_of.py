"""Homes of the second reading's form as the values of coach.home."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from coach.areas.rules.model import Area, DetailTask
from coach.areas.rules.passes import Book
from coach.areas.rules.plan import Plan, Way
from coach.areas.rules.rotation import Mode, Rotation
from coach.ground.weeks import WeekStart

if TYPE_CHECKING:
    from datetime import date


def rotation_of(home: dict[str, Any]) -> Rotation:
    return Rotation(
        areas=len(home["areas"]),
        start=home["start"],
        mode=Mode(home["mode"]),
        starts=WeekStart(home["week_starts"]),
        first=home["first"],
        minutes_a_week=home["minutes"],
    )


def plan_of(home: dict[str, Any]) -> Plan:
    areas = tuple(
        Area(
            str(place),
            f"Area {place}",
            detail=tuple(
                DetailTask(task["id"], task["id"], task["minutes"], task["every"]) for task in tasks
            ),
        )
        for place, tasks in enumerate(home["areas"], 1)
    )
    return Plan(home["start"], areas, rotation_of(home), Way(home["way"]), home["spot"])


def book_of(home: dict[str, Any], done: dict[date, list[str]], away: set[date]) -> Book:
    return Book((plan_of(home),), done, away.__contains__)
