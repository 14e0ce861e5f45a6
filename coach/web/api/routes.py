"""The router of the JSON interface, all under `/api`."""

from fastapi import APIRouter

from coach.web.api import (
    days,
    dinners,
    dues,
    favourites,
    log,
    path,
    pauses,
    quick,
    shopping,
    start,
    steps,
    todos,
)

router = APIRouter(prefix="/api")
for _part in (days, start, pauses, path, steps, log):
    router.include_router(_part.router)
for _part in (dinners, favourites, shopping, dues, todos, quick):
    router.include_router(_part.router)
