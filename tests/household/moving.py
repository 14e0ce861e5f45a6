"""Tern Street among many homes, with people of its own, and what is seen of it wherever it lives."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from typing import TYPE_CHECKING

from coach.areas.overview import all_areas
from coach.coaching.demo import furnish, tern_street
from coach.coaching.library import FolderLibrary
from coach.desk.overview import desk, todos
from coach.ground.ports import Context
from coach.habits.day import day as day_on
from coach.habits.day import today
from coach.habits.path import path
from coach.habits.taking import take
from coach.household import data, settings
from coach.kitchen.dinners import day as dinner_on
from coach.kitchen.favourites import favourites
from coach.kitchen.shopping import shopping
from coach.progress.csvform import write_log
from coach.week.days import week
from habits.marking import mark

if TYPE_CHECKING:
    from coach.ground.ports import Store

NOW = datetime(2027, 1, 26, 10, 7, tzinfo=UTC)
TODAY = NOW.date()
HOSTED = "tern"
HOME = "home"
PEOPLE = {"p-ana": "Ana", "p-ben": "Ben", "p-cleo": "Cleo"}


@lru_cache(maxsize=1)
def library() -> FolderLibrary:
    return FolderLibrary()


def context_of(store: Store, now: datetime = NOW) -> Context:
    return Context(store, library(), lambda: now)


def move_in(store: Store) -> Context:
    """Let Tern Street live among many homes: three people mark, and one of them has left since."""
    context = context_of(store)
    data.load(context, HOSTED, write_log(tern_street(library().course("three-weeks"), TODAY)))
    furnish(context, HOSTED, TODAY)
    with store.people_writing() as writing:
        for person, name in PEOPLE.items():
            writing.add_person(person, name, NOW)
            writing.put_member(HOSTED, person, "keeper" if name == "Ana" else "member", NOW)
    lines = [line.step for line in today(context, HOSTED).checklist]
    for person, step in zip(PEOPLE, lines, strict=False):
        mark(replace(context, by=person), HOSTED, TODAY, step, "kept")
    take(replace(context, by="p-ben"), HOSTED, TODAY, lines[3], lambda where: where.today)
    with store.people_writing() as writing:
        writing.drop_member(HOSTED, "p-cleo")
    return context


def seen(context: Context, household: str) -> list[object]:
    """What the household's pages show, and every day since its start."""
    here = today(context, household)
    started = here.date - timedelta(days=here.day - 1)
    days = (started + timedelta(days=number) for number in range(here.day))
    return [
        here,
        path(context, household),
        week(context, household),
        all_areas(context, household),
        dinner_on(context, household, TODAY),
        favourites(context, household),
        shopping(context, household),
        desk(context, household),
        todos(context, household),
        settings.settings(context, household),
        data.export(context, household),
        *(day_on(context, household, on) for on in days),
    ]
