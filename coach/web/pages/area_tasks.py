"""`/areas/{area}/tasks`: a task of an area added, changed, moved or removed."""

from typing import Annotated

from fastapi import APIRouter, Form, Path, Request, Response

from coach.errors import Malformed, Unknown
from coach.services import area_tasks as tasks
from coach.services import areas as service
from coach.services.area_results import AreaView, TaskView
from coach.services.ports import Context
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.answering import answered
from coach.web.pages.area import AreaId, area_values
from coach.web.pages.area_fields import TaskForm
from coach.web.pages.ways import see

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
        tasks.add_task(context, household, area, form.list, form.given())
    except Malformed as error:
        values = area_values(context, household, area, {"task": form})
        return answered(request, "area.html", values, error=error)
    return see(f"/areas/{area}", "area-changed")


@router.get("/{task}")
def one(
    request: Request, context: ContextDep, household: HouseholdDep, area: AreaId, task: TaskId
) -> Response:
    """A task to change."""
    return answered(request, "area_task.html", _values(context, household, area, task))


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
        changes = form.changes(*_found(context, household, area, task))
        tasks.change_task(context, household, task, changes)
    except Malformed as error:
        values = _values(context, household, area, task) | {"form": form}
        return answered(request, "area_task.html", values, error=error)
    return see(f"/areas/{form.area or area}", "area-changed")


@router.post("/{task}/remove")
def remove(context: ContextDep, household: HouseholdDep, area: AreaId, task: TaskId) -> Response:
    """Take it out."""
    tasks.remove_task(context, household, task)
    return see(f"/areas/{area}", "area-changed")


def _found(context: Context, household: str, area: str, task: str) -> tuple[AreaView, TaskView]:
    found = service.one_area(context, household, area)
    for one_task in (*found.detail, *found.declutter):
        if one_task.task == task:
            return found, one_task
    raise Unknown(f"{found.name} has no task “{task}”.")


def _values(context: Context, household: str, area: str, task: str) -> dict[str, object]:
    found, one_task = _found(context, household, area, task)
    listed = found.detail if one_task in found.detail else found.declutter
    form = TaskForm(
        title=one_task.title,
        minutes=str(one_task.minutes),
        every_days=str(one_task.every_days or ""),
        area=area,
        position=str(listed.index(one_task) + 1),
    )
    return {
        "area": found,
        "task": one_task,
        "areas": service.all_areas(context, household),
        "form": form,
        "places": len(listed),
    }
