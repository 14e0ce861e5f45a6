"""`/steps/{step}`: one step, how it stands, and the choices about it."""

from typing import Annotated, Any

from fastapi import APIRouter, Form, Path, Request, Response
from pydantic import BaseModel, ConfigDict

from coach.errors import Malformed
from coach.ground.ports import Context
from coach.habits import path, steps
from coach.habits.answers import SlotName, StepView
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.ways import Back, see, words
from coach.web.rendering import page
from coach.web.showing import show

router = APIRouter(prefix="/steps")

StepId = Annotated[str, Path(max_length=100)]


class Changes(BaseModel):
    """The form of the step's page; what is left out stays as it is.

    Attributes:
        whole: Whether all fields were there to fill in, so that an empty one is meant to be empty.
        repeat: `daily`, `weekly` on `weekdays`, or `as-is` for a rule the form cannot show.
    """

    model_config = ConfigDict(extra="forbid")

    title: str | None = None
    cue: str | None = None
    small: str | None = None
    slot: SlotName | None = None
    minutes: int | None = None
    repeat: str = "as-is"
    weekdays: list[str] = []
    back: str = "step"
    whole: bool = False


def rule(repeat: str, weekdays: list[str]) -> str | None:
    """The RFC 5545 rule the form means; none: as it is.

    Raises:
        Malformed: It is weekly on no day.
    """
    if repeat == "daily":
        return "FREQ=DAILY"
    if repeat != "weekly":
        return None
    if not weekdays:
        raise Malformed("Choose at least one weekday, or every day.")
    return f"FREQ=WEEKLY;BYDAY={','.join(weekdays)}"


def differences(view: StepView, form: Changes) -> dict[str, Any]:
    """What a form changes about a step, as the keys of `adjust`; an emptied field is none."""
    asked: dict[str, Any] = form.model_dump(
        exclude_unset=True, exclude={"repeat", "weekdays", "back", "whole"}
    )
    for name in ("cue", "small"):
        if name in asked or form.whole:
            asked[name] = (asked.get(name) or "").strip() or None
    if asked.get("title") is not None:
        asked["title"] = asked["title"].strip()
    repeats = rule(form.repeat, form.weekdays)
    if repeats is not None and not _means(view, form):
        asked["repeats"] = repeats
    return {name: value for name, value in asked.items() if value != getattr(view, name)}


def _means(view: StepView, form: Changes) -> bool:
    """Whether the step's rule is already what the form says."""
    wanted = () if form.repeat == "daily" else tuple(form.weekdays)
    return view.weekdays is not None and set(view.weekdays) == set(wanted)


def _page(
    request: Request,
    context: Context,
    household: str,
    step: str,
    said: str | None = None,
    trouble: str | None = None,
) -> Response:
    words, status = {"said": said, "trouble": trouble}, 422 if trouble else 200
    if context.store.version(household) is None:
        return page(request, "habits/step.html", {"step": path.step_ahead(context, step), **words}, status)
    return show(
        request,
        context,
        household,
        lambda where: ("habits/step.html", {"step": path.step_in(where, step), **words}),
        status,
    )


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
    view = path.step(context, household, step)
    try:
        changes = differences(view, form)
        if changes:
            steps.adjust(context, household, step, changes)
    except Malformed as error:
        return _page(request, context, household, step, trouble=str(error))
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
