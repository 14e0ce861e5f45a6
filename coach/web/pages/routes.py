"""The router of the pages."""

from fastapi import APIRouter

from coach.web.pages import (
    area,
    area_tasks,
    area_week,
    areas,
    away,
    catalogue,
    data,
    desk,
    dinner,
    dues,
    favourites,
    home,
    job_lines,
    jobs,
    own,
    path,
    problems,
    quick,
    replacing,
    settings,
    shopping,
    start,
    steps,
    today,
    todos,
    week,
)

router = APIRouter(include_in_schema=False)
# What is looked at most comes first, since FastAPI tries one route after the other; and the week of an area
# stands before the areas, as favourites before the dinners, for it is none of them.
for _part in (today, week, area_week):
    router.include_router(_part.router)
for _part in (start, path, own, steps, catalogue, away, settings, data, replacing, home, jobs, job_lines):
    router.include_router(_part.router)
for _part in (problems, favourites, dinner, shopping, desk, dues, todos, quick, areas, area, area_tasks):
    router.include_router(_part.router)
