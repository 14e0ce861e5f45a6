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
    settings,
    shopping,
    start,
    steps,
    today,
    todos,
    week,
)

router = APIRouter(include_in_schema=False)
for _part in (
    start,
    today,
    path,
    own,
    steps,
    catalogue,
    away,
    settings,
    data,
    home,
    week,
    jobs,
    job_lines,
    problems,
):
    router.include_router(_part.router)
# Favourites stand before the dinners: `/dinner/favourites` is no week.
for _part in (favourites, dinner, shopping, desk, dues, todos, quick):
    router.include_router(_part.router)
# The week stands before the areas: `/areas/week` is no area.
for _part in (area_week, areas, area, area_tasks):
    router.include_router(_part.router)
