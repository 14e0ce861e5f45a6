"""`/areas/{area}/tasks`: a task of an area added, changed, moved, put aside or removed."""

from collections.abc import Callable
from typing import Annotated

from fastapi import APIRouter, Form, Path, Request, Response

from coach.areas import overview as service
from coach.areas import tasks
from coach.areas.answers import Areas
from coach.errors import Malformed, NotEditable, Unknown
from coach.ground.ports import Context
from coach.ground.situation import Situation
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.answering import answered, clashing
from coach.web.pages.areas.fields import TaskForm
from coach.web.pages.areas.one import AreaId, Typed, area_view, asked_again
from coach.web.pages.areas.overview import changed
from coach.web.pages.areas.shown import TASK_LABELS, list_with, task_fields, task_shown, task_values
from coach.web.pages.once import OnceDep
from coach.web.pages.seen import Clash, Shown, Values, holding, put
from coach.web.pages.ways import see
from coach.web.showing import View

router = APIRouter(prefix="/areas/{area}/tasks")

TaskId = Annotated[str, Path(max_length=100)]
NOT_AS_SHOWN = (
    "Somebody has changed this task since the page was shown, so it was not removed. "
    "This is how it stands now; look at it, and choose again."
)


@router.post("")
def add(
    request: Request,
    context: OnceDep,
    household: HouseholdDep,
    area: AreaId,
    form: Annotated[TaskForm, Form()],
) -> Response:
    """Add a task to one of the lists."""

    def step() -> Areas:
        return tasks.add_task(context, household, area, form.list, form.wanted())

    try:
        return changed(context, household, area, step)
    except (Malformed, Unknown) as error:
        view = area_view(area, {"task": form})
        return asked_again(request, context, household, view, error, _typed(form))


def _typed(form: TaskForm) -> dict[str, str]:
    """What was typed of a new task, by what the fields are called."""
    values = task_values(form)
    return {TASK_LABELS[name]: values[name] for name in ("title", "minutes", "every_days")}


@router.get("/{task}")
def one(request: Request, context: ContextDep, household: HouseholdDep, task: TaskId) -> Response:
    """A task to change; one that was moved meanwhile, in the area where it is now."""
    return answered(request, context, household, _view(task))


@router.post("/{task}")
def change(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    task: TaskId,
    form: Annotated[TaskForm, Form()],
) -> Response:
    """Change it, or move it within its list or to another area."""

    def write(guarded: Context, values: Values) -> Areas:
        return tasks.put_task(guarded, household, task, TaskForm.model_validate(values).changes())

    try:
        found = put(context, household, form, task_values(form), task_fields(task), write)
    except Clash as clash:
        both = clash.shown(TaskForm.model_validate(clash.merged))
        return clashing(request, context, household, _view(task, both), trouble=None)
    except (Malformed, Unknown, NotEditable) as error:
        view = _view(task, Shown(form, form.seen, status=422))
        return asked_again(request, context, household, view, error, _typed(form))
    home, _ = service.task_among(found, task)
    return see(f"/areas/{home.area}", "area-changed")


@router.post("/{task}/remove")
def remove(
    request: Request,
    context: OnceDep,
    household: HouseholdDep,
    area: AreaId,
    task: TaskId,
    seen: Typed = "",
) -> Response:
    """Take it out."""
    guarded = holding(context, seen, task_fields(task).as_they_are, NOT_AS_SHOWN)
    try:
        return changed(context, household, area, lambda: tasks.remove_task(guarded, household, task))
    except NotEditable as error:
        return answered(request, context, household, _view(task), error=error)


@router.post("/{task}/add")
def add_suggestion(
    request: Request, context: OnceDep, household: HouseholdDep, area: AreaId, task: TaskId
) -> Response:
    """Put a suggestion on the area's list."""

    def step() -> Areas:
        return tasks.add_suggestion(context, household, task)

    return _suggestion(request, context, household, area, step, "suggestion-added")


@router.post("/{task}/take-off")
def take_off(
    request: Request, context: OnceDep, household: HouseholdDep, area: AreaId, task: TaskId
) -> Response:
    """Take a suggestion off."""

    def step() -> Areas:
        return tasks.remove_suggestion(context, household, task)

    return _suggestion(request, context, household, area, step, "suggestion-off")


@router.post("/{task}/set-aside")
def set_aside(
    request: Request, context: OnceDep, household: HouseholdDep, area: AreaId, task: TaskId
) -> Response:
    """Keep a task of the list beside it as a suggestion."""

    def step() -> Areas:
        return tasks.set_aside(context, household, task)

    return _suggestion(request, context, household, area, step, "suggestion-kept")


def _suggestion(
    request: Request, context: Context, household: str, area: str, step: Callable[[], Areas], said: str
) -> Response:
    """The way back to the area, where what is suggested then stands open."""
    try:
        return changed(context, household, area, step, said)
    except (Malformed, Unknown) as error:
        return answered(request, context, household, area_view(area), error=error)


def _view(task: str, shown: Shown[TaskForm] | None = None) -> Callable[[Situation], View]:
    """The page of a task, with the form as it is or as it was sent."""

    def view(where: Situation) -> View:
        areas = service.all_areas_in(where)
        found, one_task = service.task_among(areas, task)
        as_it_is = task_shown(found, one_task)
        return "areas/task.html", {
            "area": found,
            "task": one_task,
            "areas": areas,
            "shown": shown or as_it_is,
            "task_seen": as_it_is.seen,
            "places": len(list_with(found, one_task)),
            "is_detail": one_task in found.detail,
        }

    return view
