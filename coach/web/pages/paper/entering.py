"""`/sheet/…/enter`: a sheet that was ticked on paper, entered by one tap a box and saved as a whole."""

from contextlib import suppress
from dataclasses import replace
from datetime import date
from typing import Annotated

from fastapi import APIRouter, Form, Path, Request, Response
from pydantic import Field

from coach.areas.passes import area_days
from coach.course.rule import WEEKDAYS
from coach.errors import Malformed, NotEditable, Unknown
from coach.ground.ports import Context
from coach.ground.situation import Situation
from coach.paper.entering import enter
from coach.paper.sheet import sheet_in
from coach.web.deps import ContextDep, HouseholdDep
from coach.web.pages.paper import entry_fields, entry_texts
from coach.web.pages.seen import (
    Clash,
    Fields,
    SeenForm,
    Shown,
    Values,
    names_shown,
    put,
    seen_among,
    seen_text,
)
from coach.web.pages.ways import see
from coach.web.pages.ways import words as said_words
from coach.web.rendering import MARKS
from coach.web.showing import View, show

router = APIRouter(prefix="/sheet")

Named = Annotated[str, Path(max_length=20)]


class EntryForm(SeenForm):
    """The ticked boxes, each as its name and what it says, and the dates that were chosen beside some."""

    tick: list[str] = Field(default_factory=list)
    on: list[str] = Field(default_factory=list)


@router.get("/{week}/enter")
def entry(
    request: Request, context: ContextDep, household: HouseholdDep, week: Named, said: str | None = None
) -> Response:
    """The sheet with a box to tap wherever something can still be entered."""
    return _page(request, context, household, week, said=said)


@router.post("/{week}/enter")
def save(
    request: Request,
    context: ContextDep,
    household: HouseholdDep,
    week: Named,
    form: Annotated[EntryForm, Form()],
) -> Response:
    """Enter what differs, all of it or nothing."""
    mine = dict.fromkeys(names_shown(form.seen), "")

    def write(guarded: Context, values: Values) -> None:
        enter(guarded, household, week, lambda sheet: entry_texts.entry_of(entry_fields.now(sheet), values))

    try:
        mine |= entry_texts.ticked(form.tick, form.on)
        put(context, household, form, mine, _Boxes(week, frozenset(mine)).fields, write)
    except Clash as clash:
        typed = clash.shown(clash.merged)
    except NotEditable as error:
        typed = Shown(mine, form.seen, trouble=str(error), status=409)
    except (Malformed, Unknown) as error:
        typed = Shown(mine, form.seen, trouble=str(error), status=422)
    else:
        return see(f"/sheet/{week}/enter", "entered")
    return _page(request, context, household, week, typed)


class _Boxes:
    """The boxes that a form has shown, as they stand.

    Args:
        week: The sheet's week.
        names: Their names.
    """

    def __init__(self, week: str, names: frozenset[str]) -> None:
        self._week, self._names = week, names
        self._labels: Values = {}
        self.fields = Fields(self._read, self._label, lambda name, text: entry_texts.words(MARKS, name, text))

    def _read(self, where: Situation) -> Values:
        found = [one for one in entry_fields.fields(sheet_in(where, self._week)) if one.name in self._names]
        self._labels = {one.name: one.label for one in found}
        return {one.name: one.now for one in found}

    def _label(self, name: str) -> str:
        return self._labels.get(name, "A line that is no longer on the sheet")


def _page(
    request: Request,
    context: Context,
    household: str,
    week: str,
    typed: Shown[Values] | None = None,
    said: str | None = None,
) -> Response:
    def view(where: Situation) -> View:
        return "paper/entry.html", {**_values(where, week, typed), "said": said_words(said)}

    return show(request, context, household, view, typed.status if typed else 200)


def _values(where: Situation, week: str, typed: Shown[Values] | None) -> dict[str, object]:
    sheet = sheet_in(where, week)
    found = [one for one in entry_fields.fields(sheet) if one.open]
    now = {one.name: one.now for one in found}
    form = replace(typed, seen=seen_among(typed.seen, now)) if typed else Shown(now, seen_text(now))
    said = {one.name: form.form.get(one.name, one.now) for one in found}
    return {
        "sheet": sheet,
        "form": form,
        "boxes": {one.name: entry_fields.box(one, said[one.name]) for one in found},
        "dates": {one.chosen_in: one.dates for one in found if one.chosen_in},
        "chosen": _chosen(where, found, said),
        "kinds": [kind for kind in MARKS if any(kind in line.boxes for line in sheet.lines)],
    }


def _chosen(where: Situation, found: list[entry_fields.Field], said: Values) -> dict[str, date]:
    """The date that stands in each field of dates: as it was sent, or the most likely one."""
    days = area_days(where)
    chosen: dict[str, date] = {}
    for one in found:
        if one.chosen_in and one.dates:
            chosen.setdefault(one.chosen_in, _likely(one, days))
            if said[one.name] != one.now:
                with suppress(Malformed):
                    chosen[one.chosen_in] = entry_texts.chosen_date(said[one.name])
    return chosen


def _likely(field: entry_fields.Field, days: tuple[str, ...]) -> date:
    """When something was done: a job on its date, a task of an area on the last day for it."""
    if not field.name.startswith("task/"):
        return field.dates[0]
    fitting = [on for on in field.dates if WEEKDAYS[on.weekday()] in days]
    return (fitting or list(field.dates))[-1]
