"""The router of the JSON interface, all under `/api`."""

from fastapi import APIRouter
from starlette.routing import Match
from starlette.types import Scope

from coach.web.api.areas import overview as areas
from coach.web.api.areas import rotation
from coach.web.api.calendar import feeds, secrets
from coach.web.api.coaching import answering, asking, groups, sharing, stops, strictness
from coach.web.api.coaching import courses as group_courses
from coach.web.api.desk import dues, quick, todos
from coach.web.api.habits import days, forecast, months, path, pauses, steps
from coach.web.api.household import home, log, pace, start
from coach.web.api.kitchen import dinners, favourites, shopping
from coach.web.api.messages import reminder
from coach.web.api.paper import cards, entering, handover
from coach.web.api.paper import sheet as week_sheet
from coach.web.api.people import (
    devices,
    enrol,
    homes,
    invitations,
    new_passkeys,
    new_tokens,
    pairing,
    passkeys,
    people,
    recovery,
    sign_in,
    tokens,
)
from coach.web.api.week import days as week
from coach.web.api.week import jobs

PREFIX = "/api"


class _Api(APIRouter):
    """A router that is looked through only for its own addresses.

    FastAPI tries one route after the other; without this every page would wait for all of these.
    """

    def matches(self, scope: Scope) -> tuple[Match, Scope]:
        """The route of an address, as in every router."""
        return super().matches(scope) if scope["path"].startswith(PREFIX) else (Match.NONE, {})


router = _Api(prefix=PREFIX)
# What is asked most comes first, for the same reason.
for _part in (days, week, rotation):
    router.include_router(_part.router)
for _part in (start, pauses, months, path, forecast, steps, jobs, pace, log, home, sharing):
    router.include_router(_part.router)
for _part in (dinners, favourites, shopping, dues, todos, quick, areas):
    router.include_router(_part.router)
for _part in (pairing, enrol, invitations, devices, tokens, new_tokens, people, homes):
    router.include_router(_part.router)
for _part in (stops, strictness):
    router.include_router(_part.router)
for _part in (new_passkeys, passkeys, sign_in, recovery):
    router.include_router(_part.router)
for _part in (feeds, secrets, reminder):
    router.include_router(_part.router)
for _part in (asking, groups, answering, group_courses):
    router.include_router(_part.router)
router.include_router(group_courses.courses)
for _part in (week_sheet, entering, cards, handover):
    router.include_router(_part.router)
