"""`/api/steps`: one step with all one can see and choose, own steps, and steps out of the catalogue."""

from fastapi import APIRouter, Response

from coach.habits import path, steps
from coach.habits.answers import StepView
from coach.web.api.answers import STEP, StepId, problems, written
from coach.web.api.habits.bodies import AddedStep, Adjustment, FromCatalogue
from coach.web.api.strictness import StrictRoute
from coach.web.deps import ContextDep, HouseholdDep

router = APIRouter(prefix="/steps", tags=["steps"], route_class=StrictRoute)

CHOICE_ERRORS = problems("not-started", "unknown", "not-editable")


@router.get("/{step}", response_model=StepView, responses=problems("unknown"))
def step(context: ContextDep, household: HouseholdDep, step: StepId) -> Response:
    """A step with its lessons so far, its latest outcomes and its strength with the range."""
    return written(STEP, path.step(context, household, step))


@router.post("", status_code=201, response_model=StepView, responses=CHOICE_ERRORS)
def add(context: ContextDep, household: HouseholdDep, body: AddedStep) -> Response:
    """Add a step of one's own, or one out of the catalogue; it comes last in the order."""
    if isinstance(body, FromCatalogue):
        return written(STEP, steps.add_from_catalogue(context, household, body.catalogue), 201)
    definition = body.model_dump(exclude_unset=True, exclude={"step"})
    return written(STEP, steps.add(context, household, body.step, definition), 201)


@router.patch("/{step}", response_model=StepView, responses=CHOICE_ERRORS)
def adjust(context: ContextDep, household: HouseholdDep, step: StepId, body: Adjustment) -> Response:
    """Change a step from today on: its title, cue, small version, slot, minutes, rule or when it settles."""
    return written(STEP, steps.adjust(context, household, step, body.model_dump(exclude_unset=True)))


@router.post("/{step}/next", response_model=StepView, responses=CHOICE_ERRORS)
def take_next(context: ContextDep, household: HouseholdDep, step: StepId) -> Response:
    """Ask for this step to come next, as soon as it can."""
    return written(STEP, steps.take_next(context, household, step))


@router.post("/{step}/set-aside", response_model=StepView, responses=CHOICE_ERRORS)
def set_aside(context: ContextDep, household: HouseholdDep, step: StepId) -> Response:
    """Take a step off the list."""
    return written(STEP, steps.set_aside(context, household, step))


@router.post("/{step}/restore", response_model=StepView, responses=CHOICE_ERRORS)
def restore(context: ContextDep, household: HouseholdDep, step: StepId) -> Response:
    """Bring a step back that was set aside."""
    return written(STEP, steps.restore(context, household, step))
