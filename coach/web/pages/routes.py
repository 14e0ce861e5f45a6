"""The router of the pages."""

from fastapi import APIRouter

from coach.web.pages import (
    away,
    catalogue,
    data,
    home,
    job_lines,
    jobs,
    own,
    path,
    problems,
    settings,
    start,
    steps,
    today,
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
