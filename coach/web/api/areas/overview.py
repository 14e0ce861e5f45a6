"""`/api/rooms` and `/api/areas`: the home divided into areas, with their lists of tasks."""

from typing import Annotated, cast

from fastapi import APIRouter, Path, Query, Response
from pydantic import TypeAdapter

from coach.areas import dividing as division
from coach.areas import overview as areas
from coach.areas import rooms as area_rooms
from coach.areas import setup, sorting
from coach.areas import tasks as area_tasks
from coach.areas import turns as area_turns
from coach.areas.answers import Areas, AreaTask, AreaView, Proposal, RoomChoice
from coach.areas.rooms import NamedRoom
from coach.ground.ports import Context
from coach.ground.situation import Situation, looking
from coach.web.api.answers import problems, written
from coach.web.api.areas import bodies
from coach.web.api.seen import IfMatch, matching, tagged
from coach.web.api.strictness import StrictRoute
from coach.web.deps import ContextDep, HouseholdDep

router = APIRouter(tags=["areas"], route_class=StrictRoute)

ROOMS = TypeAdapter(tuple[RoomChoice, ...])
PROPOSAL = TypeAdapter(Proposal)
AREA = TypeAdapter(AreaView)
AREAS = TypeAdapter(Areas)
TASK = TypeAdapter(AreaTask)

AreaId = Annotated[str, Path(description="An area's id, as in `areas`.", max_length=100)]
TaskId = Annotated[str, Path(description="A task's id, as in the lists of the areas.", max_length=100)]
ERRORS = problems("not-started", "unknown")
CHANGE_ERRORS = problems("not-started", "unknown", "outdated")
SET_UP_ERRORS = problems("not-started", "unknown", "not-editable", "too-large")
WHOLE_ERRORS = problems("not-started", "unknown", "not-editable", "too-large", "outdated")
RoomName = Annotated[str, Query(description="The room's name.", max_length=1000)]


def _areas_seen(context: Context, if_match: str | None) -> Context:
    """The context for a change of what `GET /api/areas` answered with."""
    return matching(context, if_match, AREAS, areas.all_areas_in)


def _area_seen(context: Context, if_match: str | None, area: str) -> Context:
    """The context for a change of an area that was read."""

    def read(where: Situation) -> AreaView:
        return areas.area_among(areas.all_areas_in(where), area)

    return matching(context, if_match, AREA, read)


def _task_seen(context: Context, if_match: str | None, task: str) -> Context:
    """The context for a change of a task that was read."""
    return matching(context, if_match, TASK, lambda where: areas.task_in(where, task))


@router.get("/rooms", response_model=tuple[RoomChoice, ...], responses=problems())
def rooms(context: ContextDep) -> Response:
    """The kinds of rooms that have starter lists."""
    return written(ROOMS, area_rooms.rooms(context))


@router.post("/areas/proposal", response_model=Proposal, responses=problems("unknown"))
def propose(context: ContextDep, body: bodies.RoomsBody) -> Response:
    """A division of a home with these rooms into areas with starter lists; nothing is kept."""
    return written(
        PROPOSAL, setup.propose(context, bodies.named(body.rooms), body.areas, body.minutes_a_week)
    )


@router.get("/areas", response_model=Areas, responses=problems("not-started"))
def all_areas(context: ContextDep, household: HouseholdDep) -> Response:
    """The areas with their lists and how they are worked in, with their ETag; none before the set-up."""
    return tagged(AREAS, areas.all_areas(context, household))


@router.post("/areas/set-up", status_code=201, response_model=Areas, responses=SET_UP_ERRORS)
def set_up(context: ContextDep, household: HouseholdDep, body: bodies.RoomsBody) -> Response:
    """Divide the home as proposed for these rooms. A home that is divided already is a 409."""
    rooms = bodies.named(body.rooms)
    return written(AREAS, setup.set_up(context, household, rooms, body.areas, body.minutes_a_week), 201)


@router.put("/areas", response_model=Areas, responses=WHOLE_ERRORS)
def put(
    context: ContextDep, household: HouseholdDep, body: bodies.AreasBody, if_match: IfMatch = None
) -> Response:
    """Put these areas in the place of those there are; ids that stay keep their turns and marks."""
    wanted = cast("list[setup.WantedArea]", body.model_dump()["areas"])
    return written(AREAS, setup.put_areas(_areas_seen(context, if_match), household, wanted))


@router.patch("/areas", response_model=Areas, responses=CHANGE_ERRORS)
def arrange(
    context: ContextDep, household: HouseholdDep, body: bodies.ArrangementPatch, if_match: IfMatch = None
) -> Response:
    """Change how the areas are worked in, from this week on."""
    wanted = cast("area_turns.Arrangement", body.model_dump(exclude_unset=True))
    return written(AREAS, area_turns.arrange(_areas_seen(context, if_match), household, wanted))


@router.post("/areas/undo", response_model=Areas, responses=WHOLE_ERRORS)
def undo(context: ContextDep, household: HouseholdDep, if_match: IfMatch = None) -> Response:
    """Take the last change back; doing it again takes back the one before that."""
    return written(AREAS, setup.undo(_areas_seen(context, if_match), household))


@router.post("/areas", status_code=201, response_model=Areas, responses=ERRORS)
def add(context: ContextDep, household: HouseholdDep, body: bodies.NewArea) -> Response:
    """Add an area with the starter lists of its rooms; it comes last."""
    return written(AREAS, division.add_area(context, household, body.name, bodies.named(body.rooms)), 201)


@router.get("/areas/{area}", response_model=AreaView, responses=ERRORS)
def one_area(context: ContextDep, household: HouseholdDep, area: AreaId) -> Response:
    """One area with its lists, and the ETag that a change of it can carry."""
    return tagged(AREA, areas.one_area(context, household, area))


@router.patch("/areas/{area}", response_model=Areas, responses=CHANGE_ERRORS)
def change(
    context: ContextDep,
    household: HouseholdDep,
    area: AreaId,
    body: bodies.AreaPatch,
    if_match: IfMatch = None,
) -> Response:
    """Give an area another name, other rooms, or another place in the order."""
    changes = cast("division.AreaChanges", body.model_dump(exclude_unset=True))
    return written(AREAS, division.change_area(_area_seen(context, if_match, area), household, area, changes))


@router.delete("/areas/{area}", response_model=Areas, responses=CHANGE_ERRORS)
def remove(context: ContextDep, household: HouseholdDep, area: AreaId, if_match: IfMatch = None) -> Response:
    """Take an area out, with its tasks; the last one stays."""
    return written(AREAS, division.remove_area(_area_seen(context, if_match, area), household, area))


@router.put("/areas/{area}/sort-first", response_model=Areas, responses=CHANGE_ERRORS)
def sort_first(
    context: ContextDep,
    household: HouseholdDep,
    area: AreaId,
    body: bodies.SortFirstBody,
    if_match: IfMatch = None,
) -> Response:
    """Sort an area out first, or go back to its tasks."""
    seen = _area_seen(context, if_match, area)
    return written(AREAS, sorting.sort_first(seen, household, area, first=body.first))


@router.post("/areas/{area}/merge", response_model=Areas, responses=CHANGE_ERRORS)
def merge(
    context: ContextDep,
    household: HouseholdDep,
    area: AreaId,
    body: bodies.MergeBody,
    if_match: IfMatch = None,
) -> Response:
    """Take another area in, with its rooms and tasks."""
    seen = _areas_seen(context, if_match)
    return written(AREAS, division.merge_areas(seen, household, area, body.other, body.name))


@router.post("/areas/{area}/split", status_code=201, response_model=Areas, responses=CHANGE_ERRORS)
def split(
    context: ContextDep,
    household: HouseholdDep,
    area: AreaId,
    body: bodies.SplitBody,
    if_match: IfMatch = None,
) -> Response:
    """Make a new area of some of its rooms and tasks; it comes right after it."""
    seen = _areas_seen(context, if_match)
    found = division.split_area(seen, household, area, body.name, body.rooms, body.tasks)
    return written(AREAS, found, 201)


@router.post("/areas/{area}/rooms", status_code=201, response_model=Areas, responses=CHANGE_ERRORS)
def add_room(
    context: ContextDep,
    household: HouseholdDep,
    area: AreaId,
    body: bodies.RoomBody,
    if_match: IfMatch = None,
) -> Response:
    """Add a room to an area, with the starter lists of its kind."""
    seen = _areas_seen(context, if_match)
    return written(AREAS, division.add_room(seen, household, area, NamedRoom(body.room, body.kind)), 201)


@router.delete("/areas/{area}/rooms", response_model=Areas, responses=CHANGE_ERRORS)
def remove_room(
    context: ContextDep, household: HouseholdDep, area: AreaId, room: RoomName, if_match: IfMatch = None
) -> Response:
    """Take a room out of an area, with the tasks that name it."""
    seen = _areas_seen(context, if_match)
    return written(AREAS, division.remove_room(seen, household, area, room))


@router.post("/areas/{area}/tasks", status_code=201, response_model=Areas, responses=ERRORS)
def add_task(context: ContextDep, household: HouseholdDep, area: AreaId, body: bodies.NewTask) -> Response:
    """Add a task to a list of an area."""
    wanted = cast("area_tasks.WantedTask", body.model_dump(exclude={"list"}))
    return written(AREAS, area_tasks.add_task(context, household, area, body.list, wanted), 201)


@router.get("/tasks/{task}", response_model=AreaTask, responses=ERRORS)
def one_task(context: ContextDep, household: HouseholdDep, task: TaskId) -> Response:
    """One task with its place, and the ETag that a change of it can carry."""
    with looking(context, household) as where:
        return tagged(TASK, areas.task_in(where, task))


@router.patch("/tasks/{task}", response_model=Areas, responses=CHANGE_ERRORS)
def change_task(
    context: ContextDep,
    household: HouseholdDep,
    task: TaskId,
    body: bodies.TaskPatch,
    if_match: IfMatch = None,
) -> Response:
    """Change a task, or move it within its list or to another area."""
    changes = cast("area_tasks.WantedTask", body.model_dump(exclude_unset=True))
    return written(
        AREAS, area_tasks.change_task(_task_seen(context, if_match, task), household, task, changes)
    )


@router.delete("/tasks/{task}", response_model=Areas, responses=CHANGE_ERRORS)
def remove_task(
    context: ContextDep, household: HouseholdDep, task: TaskId, if_match: IfMatch = None
) -> Response:
    """Take a task out."""
    return written(AREAS, area_tasks.remove_task(_task_seen(context, if_match, task), household, task))


@router.post("/tasks/{task}/add", response_model=Areas, responses=CHANGE_ERRORS)
def add_suggestion(
    context: ContextDep, household: HouseholdDep, task: TaskId, if_match: IfMatch = None
) -> Response:
    """Put a suggestion on its area's list, in the place it has in the work of its room."""
    return written(AREAS, area_tasks.add_suggestion(_task_seen(context, if_match, task), household, task))


@router.post("/tasks/{task}/set-aside", response_model=Areas, responses=CHANGE_ERRORS)
def set_aside(
    context: ContextDep, household: HouseholdDep, task: TaskId, if_match: IfMatch = None
) -> Response:
    """Take a task off its area's list and keep it beside as a suggestion."""
    return written(AREAS, area_tasks.set_aside(_task_seen(context, if_match, task), household, task))
