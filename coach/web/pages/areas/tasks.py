"""`/areas/{area}/tasks`: a task of an area added, changed, moved or removed."""

from collections.abc import Callable
from typing import Annotated

from fastapi import APIRouter, Form, Path, Request, Response

from coach.areas import overview as service
from coach.areas import tasks
from coach.areas.answers import AreaView, TaskView
from coach.errors import Malformed, Unknown
from coach.ground.situation import Situation
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.answering import answered
from coach.web.pages.areas.fields import TaskForm
from coach.web.pages.areas.one import AreaId, area_view
from coach.web.pages.ways import see
from coach.web.showing import View

router = APIRouter(prefix="/areas/{area}/tasks")

TaskId = Annotated[str, Path(max_length=100)]


@router.post("")
def add(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    area: AreaId,
    form: Annotated[TaskForm, Form()],
) -> Response:
    """Add a task to one of the lists."""
    try:
        tasks.add_task(context, household, area, form.list, form.wanted())
    except Malformed as error:
        return answered(request, context, household, area_view(area, {"task": form}), error=error)
    return see(f"/areas/{area}", "area-changed")


@router.get("/{task}")
def one(
    request: Request, context: ContextDep, household: HouseholdDep, area: AreaId, task: TaskId
) -> Response:
    """A task to change."""
    return answered(request, context, household, _view(area, task))


@router.post("/{task}")
def change(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    area: AreaId,
    task: TaskId,
    form: Annotated[TaskForm, Form()],
) -> Response:
    """Change it, or move it within its list or to another area."""
    try:
        found = service.one_area(context, household, area)
        changes = form.changes(found, _task(found, task))
        tasks.change_task(context, household, task, changes)
    except Malformed as error:
        return answered(request, context, household, _view(area, task, form), error=error)
    return see(f"/areas/{form.area or area}", "area-changed")


@router.post("/{task}/remove")
def remove(context: ContextDep, household: HouseholdDep, area: AreaId, task: TaskId) -> Response:
    """Take it out."""
    tasks.remove_task(context, household, task)
    return see(f"/areas/{area}", "area-changed")


def _task(area: AreaView, task: str) -> TaskView:
    for one_task in (*area.detail, *area.declutter):
        if one_task.task == task:
            return one_task
    raise Unknown(f"{area.name} has no task “{task}”.")


def _view(area: str, task: str, sent: TaskForm | None = None) -> Callable[[Situation], View]:
    """The page of a task, with the form as it is or as it was sent."""

    def view(where: Situation) -> View:
        areas = service.all_areas_in(where)
        found = service.area_among(areas, area)
        one_task = _task(found, task)
        listed = found.detail if one_task in found.detail else found.declutter
        form = sent or TaskForm(
            title=one_task.title,
            minutes=str(one_task.minutes),
            every_days=str(one_task.every_days or ""),
            area=area,
            position=str(listed.index(one_task) + 1),
        )
        values = {"area": found, "task": one_task, "areas": areas, "form": form, "places": len(listed)}
        return "areas/task.html", values

    return view
