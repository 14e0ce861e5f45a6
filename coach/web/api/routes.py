"""The router of the JSON interface, all under `/api`."""

from fastapi import APIRouter

from coach.web.api import days, log, path, pauses, start, steps

router = APIRouter(prefix="/api")
for _part in (days, start, pauses, path, steps, log):
    router.include_router(_part.router)
