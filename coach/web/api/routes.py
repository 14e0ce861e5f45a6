"""The router of the JSON interface, all under `/api`."""

from fastapi import APIRouter

from coach.web.api import (
    areas,
    days,
    dinners,
    dues,
    favourites,
    jobs,
    log,
    path,
    pauses,
    quick,
    rotation,
    shopping,
    start,
    steps,
    todos,
    week,
)

router = APIRouter(prefix="/api")
for _part in (days, start, pauses, path, steps, week, jobs, log):
    router.include_router(_part.router)
for _part in (dinners, favourites, shopping, dues, todos, quick):
    router.include_router(_part.router)
for _part in (areas, rotation):
    router.include_router(_part.router)
