"""The router of the pages."""

from fastapi import APIRouter

from coach.web.pages import problems
from coach.web.pages.areas import one as area
from coach.web.pages.areas import overview as areas
from coach.web.pages.areas import tasks as area_tasks
from coach.web.pages.areas import week as area_week
from coach.web.pages.calendar import feeds, fetch
from coach.web.pages.coaching import (
    answering,
    asking,
    course_changes,
    course_preview,
    groups,
    households,
    invitation,
    sharing,
    stops,
    strictness,
)
from coach.web.pages.coaching import course as group_course
from coach.web.pages.coaching import notes as group_notes
from coach.web.pages.desk import dues, quick, todos
from coach.web.pages.desk import overview as desk
from coach.web.pages.habits import away, before, catalogue, changes, month, own, path, steps, today, what_if
from coach.web.pages.household import bringing, data, leaving, replacing, settings, start, trust
from coach.web.pages.household import places as home
from coach.web.pages.kitchen import dinners as dinner
from coach.web.pages.kitchen import favourites, shopping, shopping_lines
from coach.web.pages.messages import reminders, stop
from coach.web.pages.paper import booklet, cards, entering, handover, handover_pages
from coach.web.pages.paper import sheet as week_sheet
from coach.web.pages.people import (
    devices,
    enrolling,
    homes,
    pairing,
    passkeys,
    people,
    recovery,
    sign_in,
    tokens,
)
from coach.web.pages.week import days as week
from coach.web.pages.week import job_lines, jobs

router = APIRouter(include_in_schema=False)
# What programs fetch day and night is told by how its address begins, so it delays no page.
router.include_router(fetch.router)
# What is looked at most comes first, since FastAPI tries one route after the other; and the week of an area
# stands before the areas, as favourites before the dinners, for it is none of them.
for _part in (today, week, area_week):
    router.include_router(_part.router)
for _part in (
    before,
    changes,
    month,
    start,
    path,
    what_if,
    own,
    steps,
    catalogue,
    away,
    settings,
    data,
    replacing,
    bringing,
    leaving,
    sharing,
    trust,
    home,
    jobs,
    job_lines,
):
    router.include_router(_part.router)
for _part in (
    pairing,
    enrolling,
    homes,
    devices,
    tokens,
    people,
    passkeys,
    sign_in,
    recovery,
    problems,
    favourites,
    dinner,
    shopping,
    shopping_lines,
    desk,
    dues,
    todos,
    quick,
    areas,
    area,
    area_tasks,
):
    router.include_router(_part.router)
for _part in (asking, groups, households, answering, group_notes, invitation, stops):
    router.include_router(_part.router)
for _part in (group_course, course_changes, course_preview, strictness):
    router.include_router(_part.router)
for _part in (feeds, reminders, stop, week_sheet, entering, cards, booklet, handover_pages, handover):
    router.include_router(_part.router)
