"""`/api/courses` and a group's course: versions as files, what one changes, from when it holds."""

from typing import Annotated

from fastapi import APIRouter, Body, Depends, HTTPException, Path, Query, Request, Response
from pydantic import Field, TypeAdapter

from coach.coaching import group_course as service
from coach.coaching.bringing import Brought
from coach.coaching.course_answers import Changes, GroupCourse, KeptCourses
from coach.coaching.course_changes import changes
from coach.coaching.preview import Preview, rate_of
from coach.ground.groups import HeldVersion
from coach.web.api.answers import problems, written
from coach.web.api.coaching.bodies import GroupId
from coach.web.api.fields import Body as JsonBody
from coach.web.api.strictness import StrictRoute
from coach.web.dates import IsoDate
from coach.web.deps import CallerDep, ContextDep

courses = APIRouter(prefix="/courses", tags=["groups"], route_class=StrictRoute)
router = APIRouter(prefix="/groups/{group}", tags=["groups"], route_class=StrictRoute)

KEPT = TypeAdapter(KeptCourses)
BROUGHT = TypeAdapter(Brought)
COURSE = TypeAdapter(GroupCourse)
CHANGES = TypeAdapter(Changes)
PREVIEW = TypeAdapter(Preview)
ERRORS = problems("unknown")
ZIP = "application/zip"

Digest = Annotated[str, Field(min_length=64, max_length=64, pattern=r"^[0-9a-f]{64}$")]
Version = Annotated[
    str, Query(max_length=64, description="A version's digest, as in `versions`; none: the one that holds.")
]
Since = Annotated[IsoDate | None, Query(description="A date from today on; none: tomorrow.")]
SinceDate = Annotated[IsoDate, Path(description="A date, ISO 8601.", examples=["2027-02-01"])]
Kept = Annotated[str, Query(max_length=8, description="The share of lines kept: 1.0, 0.8 or 0.6.")]
Packed = Annotated[
    bytes, Body(media_type=ZIP, description="A packed course, as `coach course pack` writes it.")
]


class HeldBody(JsonBody):
    """From when which version is to hold."""

    digest: Digest = Field(description="The version.")
    since: IsoDate = Field(description="The date from which it is to hold: today, or a later one.")


class ZipResponse(Response):
    """A packed course for a download."""

    media_type = ZIP


async def only_zip(request: Request) -> None:
    """Refuse what is declared as something else than a ZIP."""
    if request.headers.get("content-type", ZIP).partition(";")[0].strip().lower() != ZIP:
        raise HTTPException(415)


@courses.get("", response_model=KeptCourses, responses=ERRORS)
def look(context: ContextDep, caller: CallerDep) -> Response:
    """Every version of the courses that the coach who asks has brought, the newest first."""
    return written(KEPT, service.kept(context, caller))


@courses.post(
    "",
    status_code=201,
    response_model=Brought,
    responses=problems("unknown", "faulty-file", "media-type", "too-large"),
    dependencies=[Depends(only_zip)],
)
def bring(context: ContextDep, caller: CallerDep, content: Packed = b"") -> Response:
    """Keep a packed course, once it was checked whole; the same file again is the same version."""
    return written(BROUGHT, service.bring(context, caller, content, "the file"), 201)


@router.get("/course", response_model=GroupCourse, responses=ERRORS)
def course(context: ContextDep, caller: CallerDep, group: GroupId) -> Response:
    """The course of a group: its steps, and which versions held, hold and will."""
    return written(COURSE, service.course(context, caller, group))


@router.get("/course.zip", response_class=ZipResponse, responses=ERRORS)
def download(context: ContextDep, caller: CallerDep, group: GroupId, version: Version = "") -> Response:
    """The packed file of a version."""
    found = service.version(context, caller, group, version)
    headers = {"content-disposition": f'attachment; filename="{found.id}-{found.digest[:8]}.zip"'}
    return Response(found.packed, headers=headers, media_type=ZIP)


@router.get("/changes", response_model=Changes, responses=ERRORS)
def what_changes(
    context: ContextDep, caller: CallerDep, group: GroupId, version: Version = "", since: Since = None
) -> Response:
    """What a version would change for whom if it held from a date on; nothing is changed by asking."""
    return written(CHANGES, changes(context, caller, group, version, since))


@router.get("/preview", response_model=Preview, responses=ERRORS)
def preview(
    context: ContextDep, caller: CallerDep, group: GroupId, kept: Kept = "1.0", version: Version = ""
) -> Response:
    """Every lesson of a version in the order in which it comes, with its day."""
    return written(PREVIEW, service.previewed(context, caller, group, rate_of(kept), version))


@router.post("/versions", response_model=GroupCourse, responses=problems("unknown", "not-editable"))
def hold(context: ContextDep, caller: CallerDep, group: GroupId, body: HeldBody) -> Response:
    """Let a version hold from a date on; the same again changes nothing."""
    service.hold(context, caller, group, HeldVersion(body.since, body.digest))
    return written(COURSE, service.course(context, caller, group))


@router.delete("/versions/{since}", response_model=GroupCourse, responses=problems("unknown", "not-editable"))
def take_back(context: ContextDep, caller: CallerDep, group: GroupId, since: SinceDate) -> Response:
    """Let the version that is to hold from a date on not come; nothing where there is none."""
    service.take_back(context, caller, group, since)
    return written(COURSE, service.course(context, caller, group))
