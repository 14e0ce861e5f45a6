"""What a step is about, for its job's page: the part of the plan it works in, out of one reading."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.areas.passes import area_now
from coach.areas.plans import is_divided
from coach.areas.week import week_view
from coach.around.answers import About, DeskList, Errands
from coach.course.model import Part
from coach.desk.overview import desk_in, todos_in
from coach.kitchen.dinners import day_in

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from coach.ground.parts import PartName
    from coach.ground.situation import Situation


def about_in(where: Situation, part: PartName | None) -> About | None:
    """What a step that works in a part of the plan is about; None for one that works in none."""
    return None if part is None else ABOUT[Part(part)](where)


def _area(where: Situation) -> About:
    now = area_now(where)
    if now is None:
        return About(rooms_first=not is_divided(where))
    return About(area=week_view(where, now))


def _dinner(where: Situation) -> About:
    return About(dinner=day_in(where, where.today))


def _desk(where: Situation) -> About:
    desk, todos = desk_in(where), todos_in(where)
    return About(desk=DeskList(desk.now, desk.next_desk_day, todos.picked))


def _errands(where: Situation) -> About:
    todos = todos_in(where)
    return About(errands=Errands(todos.errands, todos.offers))


ABOUT: Mapping[Part, Callable[[Situation], About]] = {
    Part.AREAS: _area,
    Part.DINNER: _dinner,
    Part.DESK: _desk,
    Part.ERRANDS: _errands,
}
