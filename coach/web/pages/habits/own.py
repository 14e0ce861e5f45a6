"""`/new-step`: a step of the household's own."""

from typing import Annotated, Any, Literal

from fastapi import APIRouter, Form, Request, Response
from pydantic import Field

from coach.course.keys import is_blank
from coach.errors import Malformed, Repeated
from coach.ground.parts import PartName
from coach.ground.ports import Context
from coach.habits import path, steps
from coach.habits.notes import SlotName
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.habits.step_form import rule
from coach.web.pages.once import OnceDep
from coach.web.pages.seen import SeenForm
from coach.web.pages.ways import see
from coach.web.rendering import page
from coach.web.showing import show

router = APIRouter(prefix="/new-step")


class OwnStep(SeenForm):
    """The form of an own step.

    Attributes:
        after: The step it comes after; empty: it may come at any time.
        waits: Whether the next step waits until this one has settled.
        works_in: The part of the home plan it opens; empty: none.
    """

    title: str = ""
    cue: str = ""
    small: str = ""
    slot: SlotName = "anytime"
    minutes: int = 5
    repeat: str = "daily"
    weekdays: list[str] = Field(default_factory=list)
    after: str = ""
    waits: bool = False
    works_in: PartName | Literal[""] = ""


def definition(form: OwnStep) -> dict[str, Any]:
    """The form as the keys of a step file.

    Raises:
        Malformed: It has no name, or is weekly on no day.
    """
    if is_blank(form.title):
        raise Malformed("Give the step a name, such as “Water the plants”.")
    return {
        "title": form.title.strip(),
        "cue": form.cue.strip() or None,
        "small": form.small.strip() or None,
        "slot": form.slot,
        "minutes": form.minutes,
        "repeats": rule(form.repeat, form.weekdays) or "FREQ=DAILY",
        "after": [form.after] if form.after else [],
        "waits": form.waits,
        "works_in": form.works_in or None,
    }


def _page(
    request: Request, context: ContextDep, household: str, form: OwnStep, trouble: str | None = None
) -> Response:
    values, status = {"form": form, "trouble": trouble}, 422 if trouble else 200
    if context.store.version(household) is None:
        return page(request, "habits/own.html", {"path": path.path_ahead(context), **values}, status)
    return show(
        request,
        context,
        household,
        lambda where: ("habits/own.html", {"path": path.path_in(where), **values}),
        status,
    )


@router.get("")
def ask(request: Request, context: ContextDep, household: HouseholdDep) -> Response:
    """The form."""
    return _page(request, context, household, OwnStep(waits=True))


@router.post("")
def add(
    request: Request, context: OnceDep, household: HouseholdDep, form: Annotated[OwnStep, Form()]
) -> Response:
    """Add it; what cannot be read is asked again with everything kept."""
    try:
        added = steps.add(context, household, None, definition(form))
    except Repeated:
        return see(_added_before(context, household, form.title.strip()), "added")
    except Malformed as error:
        return _page(request, context, household, form, str(error))
    return see(f"/steps/{added.step}", "added")


def _added_before(context: Context, household: str, title: str) -> str:
    """The page of the step that this form added; the path if it has another name by now."""
    own = [one.step for one in path.path(context, household).steps if one.own and one.title == title]
    return f"/steps/{own[-1]}" if own else "/path"
