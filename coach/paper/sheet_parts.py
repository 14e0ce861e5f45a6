"""What stands around the boxes of a week sheet: the areas' list, dinners, dues and errands."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.course.direction import isolated
from coach.desk.book import open_todos
from coach.desk.overview import dues_by_date
from coach.desk.rules.todos import errands_by_place
from coach.kitchen.dinners import caution, last_date, leaving, planned_between
from coach.paper.answers import SheetArea, SheetDinner, SheetDue, SheetErrand, SheetTask

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import date

    from coach.areas.lists import AreaLists
    from coach.areas.rules.passes import AreaWeek
    from coach.desk.answers import DueDateView, SeenToView
    from coach.ground.cautions import CautionView
    from coach.ground.situation import Situation
    from coach.kitchen.answers import FrozenView
    from coach.kitchen.dinners import Planned


def areas_of(found: AreaLists | None) -> tuple[tuple[SheetArea, ...], str]:
    """The areas of a week with their lists, and what the week is in words."""
    if found is None:
        return (), ""
    return tuple(_area(number, one, found.done) for number, one in found.areas), found.text


def _area(number: int, one: AreaWeek, done: Mapping[str, date]) -> SheetArea:
    tasks = tuple(
        SheetTask(left.task.id, left.task.title, left.task.minutes, done.get(left.task.id))
        for left in one.listed
    )
    return SheetArea(one.area.id, one.area.name, number, one.minutes, tasks)


def dinners_in(where: Situation, first: date, last: date) -> tuple[SheetDinner, ...]:
    """The dinners of the dates, and what has to be moved out of the freezer on them, for later ones too."""
    planned = dict(planned_between(where, first, max(last, last_date(where.today))))
    thaw: dict[date, list[str]] = {}
    for on, one, item in leaving(where, planned.items(), first, last):
        thaw.setdefault(item.refrigerator_by, []).append(_thaw_text(item, on, one))
    dates = sorted({day for day in planned if day <= last} | thaw.keys())
    return tuple(_dinner(day, planned.get(day), thaw.get(day, [])) for day in dates)


def _dinner(day: date, planned: Planned | None, thaw: Sequence[str]) -> SheetDinner:
    if planned is None:
        return SheetDinner(day, None, None, tuple(thaw))
    return SheetDinner(day, planned.dish.name, f"{planned.time:%H:%M}", tuple(thaw))


def _thaw_text(item: FrozenView, on: date, planned: Planned) -> str:
    return (
        f"{isolated(item.name)}, {isolated(item.weight)}: from the freezer into the refrigerator, "
        f"for {isolated(planned.dish.name)} on {on:%A}"
    )


def thawing_caution(where: Situation, dinners: Sequence[SheetDinner]) -> CautionView | None:
    """What to mind while thawing, where anything has to be thawed."""
    return caution(where) if any(one.thaw for one in dinners) else None


def dues_in(where: Situation, first: date, last: date) -> tuple[SheetDue, ...]:
    """The dues of the dates, seen to or not, in the order of their dates and times."""
    found = []
    for day, dues in sorted(dues_by_date(where, first, last).items()):
        here = [_due(day, one) for one in dues.not_seen_to]
        here += [_due(day, one, seen_to=True) for one in dues.seen_to]
        found += sorted(here, key=lambda one: (one.time or "", one.name, one.due))
    return tuple(found)


def _due(day: date, one: DueDateView | SeenToView, *, seen_to: bool = False) -> SheetDue:
    return SheetDue(one.due, one.name, day, one.time, one.amount, seen_to)


def errands_in(where: Situation) -> tuple[SheetErrand, ...]:
    """The errands not done, by place."""
    return tuple(
        SheetErrand(one.place or "", tuple(todo.title for todo in one.todos))
        for one in errands_by_place(open_todos(where).values())
    )
