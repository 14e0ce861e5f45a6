"""The forms of the areas that two people may change at once, as they stand, with their labels."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from coach.areas.overview import all_areas_in, area_among, task_among
from coach.areas.plans import last_change
from coach.areas.turns import rotation_in
from coach.areas.wording import NOT_SET_UP
from coach.errors import Unknown
from coach.web.pages.areas.fields import NameForm, SortForm, TaskForm, TurnsForm
from coach.web.pages.seen import Fields, Shown, fields_of, seen_text
from coach.web.rendering import WEEKDAYS

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from coach.areas.answers import Areas, AreaView, RoomChoice, TaskView, WeekdayName
    from coach.ground.situation import Situation
    from coach.web.pages.seen import Values

MODES = {
    "continuous": "One after the other, a week each",
    "month": "By the weeks of the month",
    "need": "By need: the area that needs it most",
}
WAYS = {
    "list": "A list for the week",
    "spot": "One short task a day",
    "both": "The list, and a short task a day",
}
USES = {
    "wet": "Wet rooms",
    "sleeping": "Sleeping",
    "living": "Living",
    "ways": "Ways through, and stores",
    "outside": "Outside",
    None: "Others",
}
TURNS_LABELS = {
    "minutes_a_week": "Minutes a week",
    "spot_minutes": "A short task takes at most",
    "way": "The week brings",
    "mode": "The areas take their turns",
    "area_days": "The minutes fall on",
    "first": "Begin anew this week with",
}
TASK_LABELS = {
    "title": "What is to be done",
    "minutes": "Minutes",
    "every_days": "At most every so many days",
    "position": "Place in the list",
    "area": "Area",
}
NAME_LABELS = {"name": "Name"}
SORT_LABELS = {"first": "Sort out first"}
ANEW = "="
"""Stands before an area that is chosen to begin anew though its turn was shown, since that is a change."""


def by_use(kinds: Iterable[RoomChoice]) -> list[tuple[str, list[RoomChoice]]]:
    """The kinds of rooms below what they are for, in their order."""
    groups: dict[str | None, list[RoomChoice]] = {}
    for kind in kinds:
        groups.setdefault(kind.use, []).append(kind)
    return [(USES[use], found) for use, found in groups.items()]


def turns_values(form: TurnsForm) -> Values:
    """How the areas are worked in, as text; where nothing starts anew, the turn is the one that was shown."""
    return {
        "minutes_a_week": form.minutes_a_week,
        "spot_minutes": form.spot_minutes,
        "way": form.way,
        "mode": form.mode,
        "area_days": " ".join(day for day in WEEKDAYS if day in form.area_days),
        "first": ANEW + form.first if form.first and form.first == form.turn else form.first or form.turn,
    }


def turns_form(values: Values, first: str = "", turn: str = "") -> TurnsForm:
    """The form of such values; the rotation starts anew with `first` only where that is left in them."""
    days = cast("list[WeekdayName]", values["area_days"].split())
    others = {name: text for name, text in values.items() if name not in {"area_days", "first"}}
    left = first if values["first"].removeprefix(ANEW) == first else ""
    return TurnsForm.model_validate({**others, "area_days": days, "first": left, "turn": turn})


def turns_shown(areas: Areas) -> Shown[TurnsForm]:
    """The form as it stands."""
    form = TurnsForm(
        mode=areas.mode,
        minutes_a_week=str(areas.minutes_a_week),
        way=areas.way,
        spot_minutes=str(areas.spot_minutes),
        area_days=list(areas.area_days),
        turn=" ".join(areas.this_week),
    )
    return Shown(form, seen_text(turns_values(form)))


def turns_fields() -> Fields:
    """How the areas are worked in, for joining."""
    names: dict[str, str] = {}

    def as_they_are(where: Situation) -> Values:
        areas = _set_up(where)
        names.update(_names(areas))
        return turns_values(turns_shown(areas).form)

    def words(name: str, text: str) -> str:
        if name == "area_days":
            return ", ".join(WEEKDAYS[day] for day in text.split())
        if name == "first":
            return ", ".join(names.get(area, area) for area in text.removeprefix(ANEW).split())
        return {"mode": MODES, "way": WAYS}.get(name, {}).get(text, text)

    return Fields(as_they_are, TURNS_LABELS.__getitem__, words)


def task_form(area: AreaView, task: TaskView) -> TaskForm:
    """A task as one would type it."""
    return TaskForm(
        title=task.title,
        minutes=str(task.minutes),
        every_days=str(task.every_days or ""),
        area=area.area,
        position=str(list_with(area, task).index(task) + 1),
    )


def list_with(area: AreaView, task: TaskView) -> Sequence[TaskView]:
    """The list of an area that a task stands on."""
    lists = (area.detail, area.declutter, area.suggestions)
    return next(tasks for tasks in lists if task in tasks)


def task_values(form: TaskForm) -> Values:
    """A task as text; its list is not asked for where it is changed."""
    return fields_of(form, ["list"])


def task_shown(area: AreaView, task: TaskView) -> Shown[TaskForm]:
    """A task's form as it stands."""
    form = task_form(area, task)
    return Shown(form, seen_text(task_values(form)))


def task_fields(task: str) -> Fields:
    """A task, for joining, in whichever area it is."""
    names: dict[str, str] = {}

    def as_they_are(where: Situation) -> Values:
        areas = all_areas_in(where)
        names.update(_names(areas))
        return task_values(task_form(*task_among(areas, task)))

    def words(name: str, text: str) -> str:
        return names.get(text, text) if name == "area" else text

    return Fields(as_they_are, TASK_LABELS.__getitem__, words)


def name_shown(area: AreaView) -> Shown[NameForm]:
    """The form of an area's name as it stands."""
    form = NameForm(name=area.name)
    return Shown(form, seen_text(fields_of(form)))


def name_fields(area: str) -> Fields:
    """What an area is called, for joining."""
    return Fields(lambda where: {"name": area_among(all_areas_in(where), area).name}, NAME_LABELS.__getitem__)


def sort_shown(area: AreaView) -> Shown[SortForm]:
    """The form of whether an area is sorted out first, as it stands."""
    form = SortForm(first="yes" if area.sort_first else "no")
    return Shown(form, seen_text(fields_of(form)))


def sort_fields(area: str) -> Fields:
    """Whether an area is sorted out first, for joining."""

    def as_it_is(where: Situation) -> Values:
        return fields_of(sort_shown(area_among(all_areas_in(where), area)).form)

    return Fields(as_it_is, SORT_LABELS.__getitem__)


def area_content(area: AreaView) -> Values:
    """What an area's page shows of all that goes when it is removed, or a room of it, or is split."""
    return {"area": repr((area.name, area.rooms, area.detail, area.declutter, area.suggestions))}


def change_to_undo(where: Situation) -> Values:
    """What *Take it back* would take back."""
    return {"change": last_change(where)}


def turns_to_come(where: Situation) -> Values:
    """What the page of the weeks to come shows of their turns."""
    weeks = [(week.name, week.kind, week.declutter, week.areas) for week in rotation_in(where).weeks]
    return {"weeks": repr(weeks), "declutter": str(all_areas_in(where).declutter_weeks)}


def _names(areas: Areas) -> dict[str, str]:
    return {area.area: area.name for area in areas.areas}


def _set_up(where: Situation) -> Areas:
    areas = all_areas_in(where)
    if not areas.areas:
        raise Unknown(NOT_SET_UP)
    return areas
