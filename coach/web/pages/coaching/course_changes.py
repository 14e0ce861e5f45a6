"""`/groups/{group}/course/changes`: what a version changes for whom, and from when it holds."""

from typing import Annotated

from fastapi import APIRouter, Form, Query, Request, Response
from pydantic import BaseModel, ConfigDict, Field

from coach.coaching import group_course as service
from coach.coaching.course_changes import changes
from coach.coaching.groups import coach_day, one_group
from coach.errors import SteadingError
from coach.ground.groups import HeldVersion
from coach.ground.people import Caller
from coach.ground.ports import Context
from coach.progress.days import ONE_DAY
from coach.web.dates import IsoDate
from coach.web.deps import CallerDep, ContextDep
from coach.web.pages.coaching.shown import NOTHING, GroupId, Happened, shown
from coach.web.pages.ways import see

router = APIRouter(prefix="/groups/{group}/course/changes")


class HoldForm(BaseModel):
    """From when which version is to hold."""

    model_config = ConfigDict(extra="forbid")

    version: str = ""
    since: IsoDate


class Asked(BaseModel):
    """Which version is looked at, as if it held from a date on."""

    version: str = Field("", max_length=64)
    since: IsoDate | None = None
    said: str | None = None


def _page(
    request: Request,
    context: Context,
    caller: Caller,
    group: str,
    asked: HoldForm,
    happened: Happened = NOTHING,
) -> Response:
    today = coach_day(context)
    values = {
        "group_id": group,
        "group": one_group(context, caller, group),
        "changes": changes(context, caller, group, asked.version, max(asked.since, today)),
        "today": today,
    }
    return shown(request, "course_changes.html", values, happened)


@router.get("")
def look(
    request: Request,
    context: ContextDep,
    caller: CallerDep,
    group: GroupId,
    asked: Annotated[Asked, Query()],
) -> Response:
    """What a version would change; without a date, if it held from tomorrow on."""
    since = asked.since or coach_day(context) + ONE_DAY
    wanted = HoldForm.model_construct(version=asked.version, since=since)
    return _page(request, context, caller, group, wanted, Happened(asked.said))


@router.post("")
def hold(
    request: Request,
    context: ContextDep,
    caller: CallerDep,
    group: GroupId,
    form: Annotated[HoldForm, Form()],
) -> Response:
    """Let it hold from a date on."""
    try:
        service.hold(context, caller, group, HeldVersion(form.since, form.version))
    except SteadingError as error:
        return _page(request, context, caller, group, form, Happened(error=error))
    return see(f"/groups/{group}/course", "version-holds")


@router.post("/take-back")
def take_back(
    request: Request,
    context: ContextDep,
    caller: CallerDep,
    group: GroupId,
    since: Annotated[IsoDate, Form()],
) -> Response:
    """Let a version that is to come not come."""
    try:
        service.take_back(context, caller, group, since)
    except SteadingError as error:
        values = {
            "group_id": group,
            "group": one_group(context, caller, group),
            "course": service.course(context, caller, group),
            "faults": (),
            "more_faults": 0,
            "is_file": False,
        }
        return shown(request, "course.html", values, Happened(error=error))
    return see(f"/groups/{group}/course", "version-back")
