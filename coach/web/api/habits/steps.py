"""`/api/steps`: one step with all one can see and choose, own steps, and steps out of the catalogue."""

from fastapi import APIRouter, Response

from coach.ground.ports import Context
from coach.habits import path, steps
from coach.habits.path_answers import StepView
from coach.web.api.answers import STEP, StepId, problems, written
from coach.web.api.habits.bodies import AddedStep, Adjustment, FromCatalogue
from coach.web.api.seen import IfMatch, matching, tagged
from coach.web.api.strictness import StrictRoute
from coach.web.deps import ContextDep, HouseholdDep

router = APIRouter(prefix="/steps", tags=["steps"], route_class=StrictRoute)

CHOICE_ERRORS = problems("not-started", "unknown", "not-editable")
CHANGE_ERRORS = problems("not-started", "unknown", "not-editable", "outdated")


def _seen(context: Context, if_match: str | None, step: str) -> Context:
    return matching(context, if_match, STEP, lambda where: path.step_in(where, step))


@router.get("/{step}", response_model=StepView, responses=problems("unknown"))
def step(context: ContextDep, household: HouseholdDep, step: StepId) -> Response:
    """A step with its lessons so far, its latest outcomes, its strength with the range, and its ETag."""
    return tagged(STEP, path.step(context, household, step))


@router.post("", status_code=201, response_model=StepView, responses=CHOICE_ERRORS)
def add(context: ContextDep, household: HouseholdDep, body: AddedStep) -> Response:
    """Add a step of one's own, or one out of the catalogue; it comes last in the order."""
    if isinstance(body, FromCatalogue):
        return written(STEP, steps.add_from_catalogue(context, household, body.catalogue), 201)
    definition = body.model_dump(exclude_unset=True, exclude={"step"})
    return written(STEP, steps.add(context, household, body.step, definition), 201)


@router.patch("/{step}", response_model=StepView, responses=CHANGE_ERRORS)
def adjust(
    context: ContextDep, household: HouseholdDep, step: StepId, body: Adjustment, if_match: IfMatch = None
) -> Response:
    """Change a step from today on: its title, cue, small version, slot, minutes, rule or when it settles."""
    return written(
        STEP,
        steps.adjust(_seen(context, if_match, step), household, step, body.model_dump(exclude_unset=True)),
    )


@router.post("/{step}/next", response_model=StepView, responses=CHANGE_ERRORS)
def take_next(
    context: ContextDep, household: HouseholdDep, step: StepId, if_match: IfMatch = None
) -> Response:
    """Ask for this step to come next, as soon as it can."""
    return written(STEP, steps.take_next(_seen(context, if_match, step), household, step))


@router.post("/{step}/set-aside", response_model=StepView, responses=CHANGE_ERRORS)
def set_aside(
    context: ContextDep, household: HouseholdDep, step: StepId, if_match: IfMatch = None
) -> Response:
    """Take a step off the list."""
    return written(STEP, steps.set_aside(_seen(context, if_match, step), household, step))


@router.post("/{step}/restore", response_model=StepView, responses=CHANGE_ERRORS)
def restore(context: ContextDep, household: HouseholdDep, step: StepId, if_match: IfMatch = None) -> Response:
    """Bring a step back that was set aside."""
    return written(STEP, steps.restore(_seen(context, if_match, step), household, step))
