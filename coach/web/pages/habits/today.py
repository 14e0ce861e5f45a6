"""`/today` and `/days/{date}`: the page everything else stands around."""

from contextlib import suppress
from typing import Annotated, Literal

from fastapi import APIRouter, Form, Path, Request, Response
from pydantic import BaseModel, ConfigDict

from coach.areas import week as area_week
from coach.around.today import around_in, minute_stamp
from coach.course.direction import isolated
from coach.errors import Repeated
from coach.ground.situation import Situation
from coach.habits import marks, pauses
from coach.habits.answers import Day, MarkName
from coach.habits.day import day_view
from coach.web.dates import IsoDate
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.once import OnceDep
from coach.web.pages.ways import back_to, see, words
from coach.web.rendering import MARKS, is_partial, page
from coach.web.showing import View, show, show_kept

router = APIRouter()

SHOWN_TASKS = 3
On = Annotated[IsoDate, Path()]
StepId = Annotated[str, Path(max_length=100)]
OTHER_SLOTS = {
    "morning": ("anytime", "evening"),
    "anytime": ("morning", "evening"),
    "evening": ("morning", "anytime"),
}
CUES = {
    "morning": ("after getting up", "after breakfast"),
    "anytime": ("after coming home", "after the midday meal"),
    "evening": ("after dinner", "before going to bed"),
}


class MarkForm(BaseModel):
    """A mark, or a mark taken back; `back` is the page on which the mark was offered, if it was."""

    model_config = ConfigDict(extra="forbid")

    mark: MarkName | Literal["undo"]
    back: str = ""


def _values(day: Day, said: str | None = None) -> dict[str, object]:
    by_slot = {slot: [line for line in day.checklist if line.slot == slot] for slot in CUES}
    return {
        "day": day,
        "slots": {slot: lines for slot, lines in by_slot.items() if lines},
        "unmarked": frozenset(line.step for line in day.checklist if line.mark is None),
        "other_slots": OTHER_SLOTS,
        "cues": CUES,
        "said": said,
    }


def _after(request: Request, day: Day, said: str) -> Response:
    """After a mark: the list as it now stands for htmx, the way back to the page for everybody else."""
    if is_partial(request):
        return page(request, "habits/parts/answer.html", _values(day, said))
    return see("/today" if day.today else f"/days/{day.date}")


def _title(day: Day, step: str) -> str:
    return next((line.title for line in day.checklist if line.step == step), step)


@router.get("/today")
def today(
    request: Request, context: ContextDep, household: HouseholdDep, said: str | None = None
) -> Response:
    """Today's lesson and checklist."""
    text = words(said)

    def view(where: Situation) -> View:
        found = around_in(where)
        values = {"around": found if found.open or found.kitchen else None, "shown_tasks": SHOWN_TASKS}
        return "habits/today.html", _values(day_view(where), text) | values

    if text is not None:
        return show(request, context, household, view)
    return show_kept(request, context, household, "today", view, minute_stamp)


@router.post("/today/area/{task}")
def tick(
    context: ContextDep,
    household: HouseholdDep,
    task: StepId,
    on: Annotated[IsoDate, Form()],
    mark: Annotated[Literal["done", "undo"], Form()],
    back: Annotated[str, Form()] = "today",
) -> Response:
    """One tap: a task of this week's area done, or that taken back."""
    change = area_week.mark_task if mark == "done" else area_week.unmark_task
    change(context, household, on, task)
    return see(back_to(back, "/today"))


@router.get("/days/{date}")
def day(request: Request, context: ContextDep, household: HouseholdDep, date: On) -> Response:
    """A day before, to fill in or to read."""

    def view(where: Situation) -> View:
        found = day_view(where.at(date))
        return "habits/today.html", _values(found) | {"around": None, "shown_tasks": SHOWN_TASKS}

    return show(request, context, household, view)


@router.post("/days/{date}/marks/{step}")
def mark(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    date: On,
    step: StepId,
    form: Annotated[MarkForm, Form()],
) -> Response:
    """One tap: a mark, or a mark taken back; where it was offered, the page it was offered on comes next."""
    if form.mark == "undo":
        found = marks.unmark(context, household, date, step)
        return _after(request, found, f"{isolated(_title(found, step))}: mark taken back.")
    found = marks.mark(context, household, date, step, form.mark)
    if form.back:
        return see(back_to(form.back, "/today"), form.mark)
    return _after(request, found, f"{isolated(_title(found, step))}: {MARKS[form.mark].lower()}.")


@router.post("/today/return")
def come_back(
    context: OnceDep, household: HouseholdDep, choice: Annotated[Literal["all", "one"], Form()]
) -> Response:
    """On a return: everything back, or one step."""
    with suppress(Repeated):
        pauses.resume(context, household, choice)
    return see("/today", "returned")
