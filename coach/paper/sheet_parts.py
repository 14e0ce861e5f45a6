"""What stands around the boxes of a week sheet: the areas' list, dinners, dues and errands."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.areas.lists import lists_in
from coach.course.direction import isolated
from coach.desk.book import open_todos
from coach.desk.overview import dues_by_date
from coach.desk.rules.todos import errands_by_place
from coach.kitchen.dinners import caution, dinner_view, last_date, planned_between
from coach.kitchen.thawing import is_to_leave_by
from coach.paper.answers import SheetArea, SheetDinner, SheetDue, SheetErrand, SheetTask

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import date

    from coach.areas.rules.passes import AreaWeek
    from coach.desk.answers import DueDateView, SeenToView
    from coach.ground.cautions import CautionView
    from coach.ground.situation import Situation
    from coach.kitchen.answers import FrozenView
    from coach.kitchen.dinners import Planned


def areas_in(where: Situation, first: date) -> tuple[tuple[SheetArea, ...], str]:
    """The areas of the week that begins on a date with their lists, and what the week is in words."""
    found = lists_in(where, first)
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
    thaw = _thawing(where, planned, first, last)
    dates = sorted({day for day in planned if day <= last} | thaw.keys())
    return tuple(_dinner(day, planned.get(day), thaw.get(day, [])) for day in dates)


def _dinner(day: date, planned: Planned | None, thaw: Sequence[str]) -> SheetDinner:
    if planned is None:
        return SheetDinner(day, None, None, tuple(thaw))
    return SheetDinner(day, planned.dish.name, f"{planned.time:%H:%M}", tuple(thaw))


def _thawing(
    where: Situation, planned: Mapping[date, Planned], first: date, last: date
) -> dict[date, list[str]]:
    """By date, what has to leave the freezer on it at the latest, and has not."""
    found: dict[date, list[str]] = {}
    for on, one in planned.items():
        if is_to_leave_by(one.dish, on, last):
            for item in dinner_view(where, on, one).frozen:
                if first <= item.refrigerator_by <= last and item.left_on is None:
                    found.setdefault(item.refrigerator_by, []).append(_thaw_text(item, on, one))
    return found


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
