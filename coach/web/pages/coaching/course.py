"""`/groups/{group}/course`: a group's course, its versions, a new one as a file or in words."""

from typing import Annotated

from fastapi import APIRouter, File, Form, Query, Request, Response, UploadFile
from pydantic import BaseModel, ConfigDict

from coach.coaching import group_course as service
from coach.coaching.course_answers import StepText
from coach.coaching.groups import one_group
from coach.course.direction import isolated
from coach.errors import FaultyFile, Malformed, SteadingError
from coach.ground.people import Caller
from coach.ground.ports import Context
from coach.limits import PACKED_BYTES
from coach.web.deps import CallerDep, ContextDep
from coach.web.pages.coaching.shown import NOTHING, GroupId, Happened, shown
from coach.web.pages.ways import see

router = APIRouter(prefix="/groups/{group}/course")

Version = Annotated[str, Query(max_length=64)]
"""The digest of a version; empty: the one that holds."""

StepId = Annotated[str, Query(max_length=80)]
NO_FILE = "Choose the packed file first: coach course pack writes one."
ZIP = "application/zip"


class WordsForm(BaseModel):
    """The words of a step of a version, as they were typed."""

    model_config = ConfigDict(extra="forbid")

    step: str = ""
    version: str = ""
    title: str = ""
    text: str = ""


def faults_of(error: SteadingError | None) -> dict[str, object]:
    """What is wrong with a file, fault by fault, for a page."""
    is_file = isinstance(error, FaultyFile)
    return {
        "faults": error.faults if isinstance(error, FaultyFile) else (),
        "more_faults": error.more if isinstance(error, FaultyFile) else 0,
        "is_file": is_file,
    }


def _page(
    request: Request, context: Context, caller: Caller, group: str, happened: Happened = NOTHING
) -> Response:
    values = {
        "group_id": group,
        "group": one_group(context, caller, group),
        "course": service.course(context, caller, group),
        **faults_of(happened.error),
    }
    return shown(request, "course.html", values, happened)


@router.get("")
def look(
    request: Request, context: ContextDep, caller: CallerDep, group: GroupId, said: str | None = None
) -> Response:
    """The course, its steps and its versions."""
    return _page(request, context, caller, group, Happened(said))


@router.post("")
def upload(
    request: Request,
    context: ContextDep,
    caller: CallerDep,
    group: GroupId,
    packed: Annotated[UploadFile | None, File()] = None,
) -> Response:
    """Keep the version of a packed file, or show every fault of it; it does not hold yet."""
    try:
        if packed is None or not packed.filename:
            raise Malformed(NO_FILE)
        content = packed.file.read(PACKED_BYTES + 1)
        made = service.upload(context, caller, group, content, isolated(packed.filename))
    except SteadingError as error:
        return _page(request, context, caller, group, Happened(error=error))
    if not made.is_new:
        return see(f"/groups/{group}/course", "version-known")
    return see(f"/groups/{group}/course/changes?version={made.digest}", "version-kept")


@router.get("/file")
def download(context: ContextDep, caller: CallerDep, group: GroupId, version: Version = "") -> Response:
    """The packed file of a version."""
    found = service.version(context, caller, group, version)
    name = f"{found.id}-{found.digest[:8]}.zip"
    headers = {"content-disposition": f'attachment; filename="{name}"'}
    return Response(found.packed, headers=headers, media_type=ZIP)


def _words(
    request: Request, context: Context, caller: Caller, words: StepText, group: str, happened: Happened
) -> Response:
    values = {
        "group_id": group,
        "group": one_group(context, caller, group),
        "words": words,
        **faults_of(happened.error),
    }
    return shown(request, "course_words.html", values, happened)


@router.get("/words")
def read_words(
    request: Request,
    context: ContextDep,
    caller: CallerDep,
    group: GroupId,
    step: StepId,
    version: Version = "",
) -> Response:
    """The words of a step, to be changed."""
    words = service.step_text(context, caller, group, version, step)
    return _words(request, context, caller, words, group, NOTHING)


@router.post("/words")
def change_words(
    request: Request,
    context: ContextDep,
    caller: CallerDep,
    group: GroupId,
    form: Annotated[WordsForm, Form()],
) -> Response:
    """Keep the course with these words as a new version, or show what is wrong with what was typed."""
    before = service.step_text(context, caller, group, form.version, form.step)
    words = StepText(before.digest, before.step, before.file, form.title, form.text)
    try:
        made = service.reword(context, caller, group, words)
    except SteadingError as error:
        return _words(request, context, caller, words, group, Happened(error=error))
    if not made.is_new:
        return see(f"/groups/{group}/course", "version-known")
    return see(f"/groups/{group}/course/changes?version={made.digest}", "version-kept")
