"""`/groups/{group}/notes`: what the coach says to a group, one note a day at most."""

from typing import Annotated

from fastapi import APIRouter, Form, Path, Request, Response
from pydantic import BaseModel, ConfigDict

from coach.coaching import notes as service
from coach.coaching.groups import coach_day, one_group
from coach.coaching.texts import LONGEST_TEXT
from coach.errors import SteadingError
from coach.ground.people import Caller
from coach.ground.ports import Context
from coach.web.dates import IsoDate
from coach.web.deps import CallerDep, ContextDep
from coach.web.pages.coaching.shown import NOTHING, GroupId, Happened, shown
from coach.web.pages.ways import see

router = APIRouter(prefix="/groups/{group}/notes")


class NoteForm(BaseModel):
    """What is said on a date."""

    model_config = ConfigDict(extra="forbid")

    on: IsoDate
    text: str = ""


def _page(
    request: Request,
    context: Context,
    caller: Caller,
    group: str,
    happened: Happened = NOTHING,
    typed: NoteForm | None = None,
) -> Response:
    day = coach_day(context)
    values = {
        "group_id": group,
        "group": one_group(context, caller, group),
        "notes": service.notes(context, caller, group).notes,
        "form": typed or NoteForm.model_construct(on=day),
        "day": day,
        "longest": LONGEST_TEXT,
    }
    return shown(request, "notes.html", values, happened)


@router.get("")
def look(
    request: Request, context: ContextDep, caller: CallerDep, group: GroupId, said: str | None = None
) -> Response:
    """What is said, and was."""
    return _page(request, context, caller, group, Happened(said))


@router.post("")
def put(
    request: Request,
    context: ContextDep,
    caller: CallerDep,
    group: GroupId,
    form: Annotated[NoteForm, Form()],
) -> Response:
    """Say something on a date, in the place of what was to be said then."""
    try:
        service.put_note(context, caller, group, form.on, form.text)
    except SteadingError as error:
        return _page(request, context, caller, group, Happened(error=error), form)
    return see(f"/groups/{group}/notes", "saved")


@router.post("/{date}/drop")
def drop(
    context: ContextDep, caller: CallerDep, group: GroupId, date: Annotated[IsoDate, Path()]
) -> Response:
    """Say nothing then."""
    service.drop_note(context, caller, group, date)
    return see(f"/groups/{group}/notes", "taken-off")
