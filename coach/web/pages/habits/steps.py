"""`/steps/{step}`: one step, how it stands, and the choices about it."""

from typing import Annotated

from fastapi import APIRouter, Form, Path, Request, Response

from coach.areas.plans import is_divided
from coach.coaching.below import lesson_in
from coach.errors import Malformed, NotEditable
from coach.ground.ports import Context
from coach.ground.situation import Situation
from coach.habits import path, steps
from coach.habits.path_answers import StepView
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.habits.step_form import (
    Changes,
    Filling,
    as_typed,
    changes_of,
    fields_for,
    shown,
    shown_again,
    values_in,
)
from coach.web.pages.seen import Clash, Shown, Values, put
from coach.web.pages.ways import Back, see, words
from coach.web.rendering import page
from coach.web.showing import View, show

router = APIRouter(prefix="/steps")

StepId = Annotated[str, Path(max_length=100)]

ESTIMATED_FROM = 7
"""From so many outcomes on the page says how automatic a step may be; before, that it is too early."""


def _page(
    request: Request,
    context: Context,
    household: str,
    step: str,
    said: str | None = None,
    filling: Filling | None = None,
) -> Response:
    """A step, with its form filled in as it stands or as it was typed."""
    how = filling or Filling()
    if context.store.version(household) is None:
        found = path.step_ahead(context, step)
        values = _values(found, said, shown(found))
        return page(request, "habits/step.html", values)

    def view(where: Situation) -> View:
        found = path.step_in(where, step)
        rooms_first = found.works_in == "areas" and not is_divided(where)
        beside = {"rooms_first": rooms_first, "coached": lesson_in(where, step) if found.lessons else None}
        return "habits/step.html", _values(found, said, how.fill(found)) | beside

    return show(request, context, household, view, how.status)


def _values(found: StepView, said: str | None, filled: Shown[Changes]) -> dict[str, object]:
    return {
        "step": found,
        "said": said,
        "shown": filled,
        "rooms_first": False,
        "fewest": ESTIMATED_FROM,
        "coached": None,
    }


@router.get("/{step}")
def step(
    request: Request, context: ContextDep, household: HouseholdDep, step: StepId, said: str | None = None
) -> Response:
    """A step's page."""
    return _page(request, context, household, step, words(said))


@router.post("/{step}/adjust")
def adjust(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    step: StepId,
    form: Annotated[Changes, Form()],
) -> Response:
    """Change what the form says; nothing is written if nothing differs."""

    def write(guarded: Context, values: Values) -> None:
        steps.adjust(guarded, household, step, changes_of(values))

    try:
        mine = values_in(form)
        put(context, household, form, mine, fields_for(step, mine), write)
    except Clash as clash:
        return _page(request, context, household, step, filling=shown_again(clash))
    except (Malformed, NotEditable) as error:
        return _page(request, context, household, step, filling=as_typed(form, str(error)))
    return see("/today" if form.back == "today" else f"/steps/{step}", "saved")


@router.post("/{step}/set-aside")
def set_aside(context: ContextDep, household: HouseholdDep, step: StepId, back: Back = "step") -> Response:
    """Take it off the list."""
    steps.set_aside(context, household, step)
    return see("/today" if back == "today" else f"/steps/{step}", "aside")


@router.post("/{step}/restore")
def restore(context: ContextDep, household: HouseholdDep, step: StepId) -> Response:
    """Bring it back."""
    steps.restore(context, household, step)
    return see(f"/steps/{step}", "restored")


@router.post("/{step}/next")
def take_next(context: ContextDep, household: HouseholdDep, step: StepId) -> Response:
    """Ask for it to come next."""
    steps.take_next(context, household, step)
    return see(f"/steps/{step}", "next")
