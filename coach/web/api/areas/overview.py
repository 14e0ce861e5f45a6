"""`/api/rooms` and `/api/areas`: the home divided into areas, with their lists of tasks."""

from typing import Annotated, cast

from fastapi import APIRouter, Path, Query, Response
from pydantic import TypeAdapter

from coach.areas import dividing as division
from coach.areas import overview as areas
from coach.areas import setup
from coach.areas import tasks as area_tasks
from coach.areas import turns as area_turns
from coach.areas.answers import Areas, AreaView, Proposal, RoomChoice
from coach.web.api.answers import problems, written
from coach.web.api.areas import bodies
from coach.web.api.strictness import StrictRoute
from coach.web.deps import ContextDep, HouseholdDep

router = APIRouter(tags=["areas"], route_class=StrictRoute)

ROOMS = TypeAdapter(tuple[RoomChoice, ...])
PROPOSAL = TypeAdapter(Proposal)
AREA = TypeAdapter(AreaView)
AREAS = TypeAdapter(Areas)

AreaId = Annotated[str, Path(description="An area's id, as in `areas`.", max_length=100)]
TaskId = Annotated[str, Path(description="A task's id, as in the lists of the areas.", max_length=100)]
ERRORS = problems("not-started", "unknown")
SET_UP_ERRORS = problems("not-started", "unknown", "not-editable", "too-large")
RoomName = Annotated[str, Query(description="The room's name.", max_length=1000)]


@router.get("/rooms", response_model=tuple[RoomChoice, ...], responses=problems())
def rooms(context: ContextDep) -> Response:
    """The kinds of rooms that have starter lists."""
    return written(ROOMS, setup.rooms(context))


@router.post("/areas/proposal", response_model=Proposal, responses=problems())
def propose(context: ContextDep, body: bodies.RoomsBody) -> Response:
    """A division of a home with these rooms into areas with starter lists; nothing is kept."""
    return written(PROPOSAL, setup.propose(context, body.rooms, body.areas))


@router.get("/areas", response_model=Areas, responses=problems("not-started"))
def all_areas(context: ContextDep, household: HouseholdDep) -> Response:
    """The areas with their lists and how they are worked in; no areas before the set-up."""
    return written(AREAS, areas.all_areas(context, household))


@router.post("/areas/set-up", status_code=201, response_model=Areas, responses=SET_UP_ERRORS)
def set_up(context: ContextDep, household: HouseholdDep, body: bodies.RoomsBody) -> Response:
    """Divide the home as proposed for these rooms. A home that is divided already is a 409."""
    return written(AREAS, setup.set_up(context, household, body.rooms, body.areas), 201)


@router.put("/areas", response_model=Areas, responses=SET_UP_ERRORS)
def put(context: ContextDep, household: HouseholdDep, body: bodies.AreasBody) -> Response:
    """Put these areas in the place of those there are; ids that stay keep their turns and marks."""
    wanted = cast("list[setup.WantedArea]", body.model_dump()["areas"])
    return written(AREAS, setup.put_areas(context, household, wanted))


@router.patch("/areas", response_model=Areas, responses=ERRORS)
def arrange(context: ContextDep, household: HouseholdDep, body: bodies.ArrangementPatch) -> Response:
    """Change how the areas are worked in, from this week on."""
    wanted = cast("area_turns.Arrangement", body.model_dump(exclude_unset=True))
    return written(AREAS, area_turns.arrange(context, household, wanted))


@router.post("/areas/undo", response_model=Areas, responses=SET_UP_ERRORS)
def undo(context: ContextDep, household: HouseholdDep) -> Response:
    """Take the last change back; doing it again takes back the one before that."""
    return written(AREAS, setup.undo(context, household))


@router.post("/areas", status_code=201, response_model=Areas, responses=ERRORS)
def add(context: ContextDep, household: HouseholdDep, body: bodies.NewArea) -> Response:
    """Add an area with the starter lists of its rooms; it comes last."""
    return written(AREAS, division.add_area(context, household, body.name, body.rooms), 201)


@router.get("/areas/{area}", response_model=AreaView, responses=ERRORS)
def one_area(context: ContextDep, household: HouseholdDep, area: AreaId) -> Response:
    """One area with its lists."""
    return written(AREA, areas.one_area(context, household, area))


@router.patch("/areas/{area}", response_model=Areas, responses=ERRORS)
def change(context: ContextDep, household: HouseholdDep, area: AreaId, body: bodies.AreaPatch) -> Response:
    """Give an area another name, other rooms, or another place in the order."""
    changes = cast("division.AreaChanges", body.model_dump(exclude_unset=True))
    return written(AREAS, division.change_area(context, household, area, changes))


@router.delete("/areas/{area}", response_model=Areas, responses=ERRORS)
def remove(context: ContextDep, household: HouseholdDep, area: AreaId) -> Response:
    """Take an area out, with its tasks; the last one stays."""
    return written(AREAS, division.remove_area(context, household, area))


@router.post("/areas/{area}/merge", response_model=Areas, responses=ERRORS)
def merge(context: ContextDep, household: HouseholdDep, area: AreaId, body: bodies.MergeBody) -> Response:
    """Take another area in, with its rooms and tasks."""
    return written(AREAS, division.merge_areas(context, household, area, body.other, body.name))


@router.post("/areas/{area}/split", status_code=201, response_model=Areas, responses=ERRORS)
def split(context: ContextDep, household: HouseholdDep, area: AreaId, body: bodies.SplitBody) -> Response:
    """Make a new area of some of its rooms and tasks; it comes right after it."""
    found = division.split_area(context, household, area, body.name, body.rooms, body.tasks)
    return written(AREAS, found, 201)


@router.post("/areas/{area}/rooms", status_code=201, response_model=Areas, responses=ERRORS)
def add_room(context: ContextDep, household: HouseholdDep, area: AreaId, body: bodies.RoomBody) -> Response:
    """Add a room to an area, with the starter lists of its kind."""
    return written(AREAS, division.add_room(context, household, area, body.room), 201)


@router.delete("/areas/{area}/rooms", response_model=Areas, responses=ERRORS)
def remove_room(context: ContextDep, household: HouseholdDep, area: AreaId, room: RoomName) -> Response:
    """Take a room out of an area, with the tasks that name it."""
    return written(AREAS, division.remove_room(context, household, area, room))


@router.post("/areas/{area}/tasks", status_code=201, response_model=Areas, responses=ERRORS)
def add_task(context: ContextDep, household: HouseholdDep, area: AreaId, body: bodies.NewTask) -> Response:
    """Add a task to a list of an area."""
    wanted = cast("area_tasks.WantedTask", body.model_dump(exclude={"list"}))
    return written(AREAS, area_tasks.add_task(context, household, area, body.list, wanted), 201)


@router.patch("/tasks/{task}", response_model=Areas, responses=ERRORS)
def change_task(
    context: ContextDep, household: HouseholdDep, task: TaskId, body: bodies.TaskPatch
) -> Response:
    """Change a task, or move it within its list or to another area."""
    changes = cast("area_tasks.WantedTask", body.model_dump(exclude_unset=True))
    return written(AREAS, area_tasks.change_task(context, household, task, changes))


@router.delete("/tasks/{task}", response_model=Areas, responses=ERRORS)
def remove_task(context: ContextDep, household: HouseholdDep, task: TaskId) -> Response:
    """Take a task out."""
    return written(AREAS, area_tasks.remove_task(context, household, task))
