"""The router of the pages."""

from fastapi import APIRouter

from coach.web.pages import away, catalogue, data, home, own, path, problems, settings, start, steps, today

router = APIRouter(include_in_schema=False)
for _part in (start, today, path, own, steps, catalogue, away, settings, data, home, problems):
    router.include_router(_part.router)
