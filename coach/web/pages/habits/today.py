"""`/today` and `/days/{date}`: the page everything else stands around."""

from contextlib import suppress
from dataclasses import replace
from typing import Annotated, Literal

from fastapi import APIRouter, Form, Path, Query, Request, Response
from pydantic import BaseModel, ConfigDict, Field

from coach.areas import week as area_week
from coach.around.answers import Around
from coach.around.today import around_in, minute_stamp
from coach.coaching.below import lesson_in
from coach.coaching.notes import needed
from coach.course.direction import isolated
from coach.errors import Newer, Repeated
from coach.ground.situation import Situation, looking
from coach.habits import few, marks, pauses, taking
from coach.habits.answers import Day, DayInParts, DayPart, MarkName
from coach.habits.few_lines import STAY
from coach.habits.hands import Tap
from coach.habits.notes import SlotName
from coach.habits.parts import day_in_parts, parts_view
from coach.habits.wording import SLOT_WORDS, taken_text
from coach.web.dates import IsoDate
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.fields import SeenVersion
from coach.web.pages.habits import meanwhile
from coach.web.pages.once import OnceDep
from coach.web.pages.ways import back_to, see, words
from coach.web.rendering import MARKS, is_partial, page
from coach.web.showing import View, show, show_kept

router = APIRouter()

SHOWN_TASKS = 3
"""Tasks of the week's area that today shows at once."""

FEW_LINES = 3
"""Up to so many lines nothing is folded, and the lesson stands open below them until one is marked."""

MOST_STEPS = 200
"""Marks that one tap takes back at most; no list is as long."""

MOST_SWEPT = 20_000
"""Characters of an address that name what one tap has marked."""

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
    """A mark, one taken back, or another one's left; `back` is the page on which it was offered, if any."""

    model_config = ConfigDict(extra="forbid")

    mark: MarkName | Literal["undo", "theirs"]
    back: str = ""
    seen_version: SeenVersion = None


class FewForm(BaseModel):
    """Only a few today; `stay` are the lines that stay, as the page showed them."""

    stay: list[str] = Field(default_factory=list, max_length=STAY)


class PartForm(BaseModel):
    """All daily lines of a part of the day kept, or those that were marked so taken back."""

    model_config = ConfigDict(extra="forbid")

    mark: Literal["kept", "undo"]
    step: Annotated[list[Annotated[str, Field(max_length=100)]], Field(max_length=MOST_STEPS)] = []
    seen_version: SeenVersion = None


class TakeForm(BaseModel):
    """A line taken for the day, or left to whoever comes; it stands in the form of the line's marks."""

    taken: Literal["yes", "no"]


def _values(found: DayInParts, around: Around | None = None, said: str | None = None) -> dict[str, object]:
    """What the page and its pieces show; the part that is on comes first, then the others in their order."""
    day, lines = found.day, found.day.checklist
    untouched = all(line.mark is None for line in lines)
    all_open = not day.today or len(lines) <= FEW_LINES
    shown = around if around and (around.open or around.kitchen) else None
    return {
        "day": day,
        "parts": found.parts if all_open else _first(found.parts, found.present),
        "all_open": all_open,
        "present": found.present,
        "unmarked": frozenset(line.step for line in lines if line.mark is None),
        "around": shown,
        "jobs": {job.step: job for job in around.jobs} if around else {},
        "held": around.held if around else {},
        "offers": around.offers if around else {},
        "shown_tasks": SHOWN_TASKS,
        "swept": {},
        "unfolded": False,
        "lesson_below": day.day > 1 and untouched and len(lines) <= FEW_LINES,
        "lesson_open": untouched and not day.welcome_back and (day.day == 1 or len(lines) <= FEW_LINES),
        "other_slots": OTHER_SLOTS,
        "cues": CUES,
        "said": said,
        "several": found.several,
        "coached": None,
    }


@router.get("/today")
def today(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    said: str | None = None,
    swept: Annotated[str | None, Query(max_length=MOST_SWEPT)] = None,
) -> Response:
    """Today's lesson and checklist; with `swept` what one tap has marked, so that one tap takes it back."""
    text = words(said)

    def view(where: Situation) -> View:
        found = day_in_parts(where)
        around = around_in(where, needed(where))
        lesson = found.day.lesson
        coached = {"coached": lesson_in(where, lesson.step if lesson else None)}
        return "habits/today.html", _values(found, around, text) | _swept(found, swept) | coached

    if text is not None or swept is not None:
        return show(request, context, household, view)
    return show_kept(request, context, household, "today", view, minute_stamp)


def _swept(found: DayInParts, steps: str | None) -> dict[str, object]:
    """The parts in which one tap marked these steps, if they are still kept; such a part stands first."""
    named = frozenset((steps or "").split(","))
    changed = {part.slot: _kept_of(part, named) for part in found.parts}
    part = next((slot for slot, kept in changed.items() if kept), None)
    if part is None:
        return {}
    ordered = _first(found.parts, part)
    return {"swept": {part: changed[part]}, "present": part, "parts": ordered, "unfolded": True}


def _first(parts: tuple[DayPart, ...], slot: SlotName | None) -> list[DayPart]:
    return sorted(parts, key=lambda part: part.slot != slot)


def _kept_of(part: DayPart, steps: frozenset[str]) -> tuple[str, ...]:
    return tuple(line.step for line in part.lines if line.mark == "kept" and line.step in steps)


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
    return see("/today#held-areas" if back == "today" else back_to(back, "/today"))


@router.get("/days/{date}")
def day(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    date: On,
    swept: Annotated[str | None, Query(max_length=MOST_SWEPT)] = None,
) -> Response:
    """A day before, to fill in or to read."""

    def view(where: Situation) -> View:
        found = day_in_parts(where.at(date))
        return "habits/today.html", _values(found) | _swept(found, swept)

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
    if form.mark == "theirs":
        with looking(context, household, date) as where:
            return _marked(request, parts_view(where), step, "left as it is")
    wanted = None if form.mark == "undo" else form.mark
    marking = marks.Marking(date, step, wanted, Tap(form.seen_version))
    try:
        found = marks.marked(context, household, marking, parts_view)
    except Newer as error:
        return meanwhile.of_day(request, error, form.mark)
    if form.back and wanted:
        return see(back_to(form.back, "/today"), wanted)
    return _marked(request, found, step, MARKS[wanted].lower() if wanted else "mark taken back")


@router.post("/days/{date}/taken/{step}")
def take(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    date: On,
    step: StepId,
    form: Annotated[TakeForm, Form()],
) -> Response:
    """One tap: a line of today taken, or left to whoever comes."""
    change = taking.take if form.taken == "yes" else taking.leave
    found, before = change(context, household, date, step, parts_view)
    return _marked(request, found, step, taken_text(_taker(found, step), before))


def _taker(found: DayInParts, step: str) -> str:
    lines = [line for line in found.day.checklist if line.step == step]
    return next((line.mine.name for line in lines if line.mine), "")


def _marked(request: Request, found: DayInParts, step: str, what: str) -> Response:
    """The line as it now stands for htmx, the way back to it for everybody else."""
    line = next((one for one in found.day.checklist if one.step == step), None)
    said = f"{isolated(line.title if line else step)}: {what}."
    if is_partial(request):
        return _answer(request, found, said, {"line": line})
    return see(_back_to_the_list(found.day, line.slot if line else None))


def _back_to_the_list(day: Day, slot: SlotName | None, swept: tuple[str, ...] = ()) -> str:
    """The address of a day's list at a part of the day; a browser opens the part it stands in."""
    page = "/today" if day.today else f"/days/{day.date}"
    query = f"?swept={','.join(swept)}" if swept else ""
    return f"{page}{query}#part-{slot}" if slot else f"{page}{query}"


def _answer(request: Request, found: DayInParts, said: str, values: dict[str, object]) -> Response:
    """What a tap changes, for htmx: the mark it is about, and the lines that others have marked meanwhile.

    A tap that brings a household back changes the whole list; so does the one that takes that mark back.
    """
    marked = [line for line in found.day.checklist if line.mark is not None]
    anew = found.day.welcome_back is not None and len(marked) <= 1
    others = [line for line in marked if line is not values.get("line")]
    shown = replace(found, present=_first_open(found)) if anew else found
    beside = {"others": others, "all_anew": anew, "unfolded": True, "line": None, "part": None, "changed": ()}
    return page(request, "habits/parts/answer.html", _values(shown, None, said) | beside | values)


def _first_open(found: DayInParts) -> SlotName | None:
    return next((part.slot for part in found.parts if part.to_do), None)


@router.post("/days/{date}/parts/{slot}")
def mark_part(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    date: On,
    slot: SlotName,
    form: Annotated[PartForm, Form()],
) -> Response:
    """One tap: all daily lines of a part of the day kept, or exactly those marks taken back."""
    undo = form.mark == "undo"
    marking = (
        marks.StepsMarking(date, tuple(form.step), None, only="kept", tap=Tap(form.seen_version))
        if undo
        else marks.PartMarking(date, slot, "kept")
    )
    found, changed = marks.mark_together(context, household, marking, _parts_and_changed)
    if not is_partial(request):
        return see(_back_to_the_list(found.day, slot, () if undo else changed))
    part = next((one for one in found.parts if one.slot == slot), None)
    lines = [line for line in found.day.checklist if line.step in changed or line.mark is not None]
    said = f"{SLOT_WORDS[slot]}: {len(changed)} {'marks taken back' if undo else 'kept'}."
    return _answer(request, found, said, {"part": part, "changed": () if undo else changed, "others": lines})


def _parts_and_changed(where: Situation, changed: tuple[str, ...]) -> tuple[DayInParts, tuple[str, ...]]:
    return parts_view(where), changed


@router.post("/today/few")
def leave_few(context: OnceDep, household: HouseholdDep, form: Annotated[FewForm, Form()]) -> Response:
    """Only a few today: what the page showed stays, the other lines of the day are left out."""
    with suppress(Repeated):
        few.leave_few(context, household, form.stay)
    return see("/today")


@router.post("/today/few/undo")
def bring_back(context: OnceDep, household: HouseholdDep) -> Response:
    """The lines that were left out come back."""
    with suppress(Repeated):
        few.bring_back(context, household)
    return see("/today")


@router.post("/today/return")
def come_back(
    context: OnceDep, household: HouseholdDep, choice: Annotated[Literal["all", "one"], Form()]
) -> Response:
    """On a return: everything back, or one step."""
    with suppress(Repeated):
        pauses.resume(context, household, choice)
    return see("/today", "returned")
