"""`/groups/{group}/invitation`: an invitation to print and hand round, and the end of those there are."""

from typing import Annotated, Literal

from fastapi import APIRouter, Form, Request, Response
from pydantic import BaseModel, ConfigDict, Field

from coach.coaching.groups import is_open, one_group
from coach.errors import SteadingError
from coach.ground.people import Caller
from coach.ground.ports import Context
from coach.household import inviting
from coach.household.answers import PairingCode
from coach.household.codes import DAYS, GROUP
from coach.web.deps import CallerDep, ContextDep
from coach.web.pages.coaching.shown import NOTHING, GroupId, Happened, shown
from coach.web.pages.people.picture import picture
from coach.web.pages.ways import see
from coach.web.reach import base_of

router = APIRouter(prefix="/groups/{group}/invitation")

ENROL = "/enrol"
"""Where an invitation is used."""

SLIPS = 8
"""Slips on one sheet; more households need more sheets of the same."""

USUAL_USES = 12
"""Uses that the form begins with."""


class InvitationForm(BaseModel):
    """How often an invitation can be used, and how it is printed."""

    model_config = ConfigDict(extra="forbid")

    uses: Annotated[int, Field(ge=1, le=inviting.MOST_USES)] = USUAL_USES
    layout: Literal["slips", "one"] = "slips"


def _page(
    request: Request,
    context: Context,
    caller: Caller,
    group: str,
    happened: Happened = NOTHING,
    made: tuple[PairingCode, InvitationForm] | None = None,
) -> Response:
    line = one_group(context, caller, group)
    values = {
        "group_id": group,
        "group": line,
        "is_open": is_open(context, caller),
        "held": inviting.invitations(context, caller, group).invitations,
        "most": inviting.MOST_USES,
        "days": DAYS,
        "uses": made[1].uses if made else USUAL_USES,
        "layout": made[1].layout if made else "slips",
        **_printed(request, made[0] if made else None),
    }
    return shown(request, "invitation.html", values, happened)


def _printed(request: Request, code: PairingCode | None) -> dict[str, object]:
    """A code as it is printed: its picture, its letters in fours, and where they are typed."""
    address = base_of(request) + ENROL
    if code is None:
        return {"code": None, "address": address, "slips": SLIPS}
    plain = code.code.replace("-", "")
    letters = " ".join(plain[at : at + GROUP] for at in range(0, len(plain), GROUP))
    drawn = picture(base_of(request) + code.link)
    return {"code": code, "address": address, "slips": SLIPS, "letters": letters, "picture": drawn}


@router.get("")
def look(
    request: Request, context: ContextDep, caller: CallerDep, group: GroupId, said: str | None = None
) -> Response:
    """Those that hold, and how a new one is to be."""
    return _page(request, context, caller, group, Happened(said))


@router.post("")
def make(
    request: Request,
    context: ContextDep,
    caller: CallerDep,
    group: GroupId,
    form: Annotated[InvitationForm, Form()],
) -> Response:
    """A new one, shown and printed this once; it is nowhere else."""
    try:
        made = inviting.invite_households(context, caller, group, form.uses)
    except SteadingError as error:
        return _page(request, context, caller, group, Happened(error=error))
    return _page(request, context, caller, group, made=(made, form))


@router.post("/end")
def end(context: ContextDep, caller: CallerDep, group: GroupId) -> Response:
    """None of them lets anybody in any more."""
    inviting.end_invitations(context, caller, group)
    return see(f"/groups/{group}/invitation", "invitations-ended")
