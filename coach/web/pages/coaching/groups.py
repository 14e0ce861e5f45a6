"""`/groups`: a coach's groups, a new one, and the first look at one."""

from typing import Annotated

from fastapi import APIRouter, Form, Request, Response
from pydantic import BaseModel, ConfigDict

from coach.coaching import answering, notes
from coach.coaching import groups as service
from coach.coaching.households import households
from coach.errors import SteadingError
from coach.ground.people import Caller
from coach.ground.ports import Context
from coach.web.dates import IsoDate
from coach.web.deps import CallerDep, ContextDep
from coach.web.pages.coaching.shown import NOTHING, GroupId, Happened, shown
from coach.web.pages.once import OnceDep
from coach.web.pages.ways import see

router = APIRouter(prefix="/groups")

FIRST_LISTED = 6
"""Households that the first look lists; the page of all of them has the others."""


class GroupForm(BaseModel):
    """A group that is to be made."""

    model_config = ConfigDict(extra="forbid")

    name: str = ""
    course: str = ""
    first_day: IsoDate
    language: str = service.ENGLISH
    request_id: str = ""


@router.get("")
def look(request: Request, context: ContextDep, caller: CallerDep, said: str | None = None) -> Response:
    """The groups there are."""
    found = service.groups(context, caller).groups
    return shown(
        request, "groups.html", {"groups": found, "has_home": caller.role is not None}, Happened(said)
    )


def _form(
    request: Request,
    context: Context,
    caller: Caller,
    typed: GroupForm | None = None,
    happened: Happened = NOTHING,
) -> Response:
    courses = service.choices(context, caller)
    day = service.coach_day(context)
    form = typed or GroupForm.model_construct(course=courses[0].course, first_day=day)
    return shown(request, "new_group.html", {"courses": courses, "form": form}, happened)


@router.get("/new")
def new(request: Request, context: ContextDep, caller: CallerDep) -> Response:
    """What a new group is to be."""
    return _form(request, context, caller)


@router.post("")
def make(
    request: Request, context: OnceDep, caller: CallerDep, form: Annotated[GroupForm, Form()]
) -> Response:
    """Make it."""
    wanted = service.Wanted(form.name, form.course, form.first_day, form.language)
    try:
        made = service.new_group(context, caller, wanted)
    except SteadingError as error:
        return _form(request, context, caller, form, Happened(error=error))
    return see(f"/groups/{made.group}", "group-made")


def _first_look(
    request: Request,
    context: Context,
    caller: Caller,
    group: str,
    happened: Happened = NOTHING,
) -> Response:
    line = service.one_group(context, caller, group)
    day = service.coach_day(context)
    values = {
        "group_id": group,
        "group": line,
        "seen": households(context, caller, group),
        "waiting": answering.waiting(context, caller, group),
        "note": notes.note_on(context, caller, group, day),
        "day": day,
        "first_listed": FIRST_LISTED,
    }
    return shown(request, "group.html", values, happened)


@router.get("/{group}")
def one(
    request: Request, context: ContextDep, caller: CallerDep, group: GroupId, said: str | None = None
) -> Response:
    """The first look at a group."""
    return _first_look(request, context, caller, group, Happened(said))


@router.post("/{group}/name")
def rename(
    request: Request,
    context: ContextDep,
    caller: CallerDep,
    group: GroupId,
    name: Annotated[str, Form()] = "",
) -> Response:
    """Call it something else."""
    try:
        service.rename(context, caller, group, name)
    except SteadingError as error:
        return _first_look(request, context, caller, group, Happened(error=error))
    return see(f"/groups/{group}", "saved")
