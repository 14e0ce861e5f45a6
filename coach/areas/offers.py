"""What the areas know of the steps that work in them: which mark to offer, which step asks for the rooms."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.areas.plans import is_divided
from coach.areas.rules.model import all_tasks
from coach.course.model import Part
from coach.ground.offers import Offer, offer, unmarked
from coach.ground.parts import come, on_the_list
from coach.ground.wording import minutes_words

if TYPE_CHECKING:
    from coach.areas.passes import AreaNow
    from coach.ground.situation import Situation


def area_offer(where: Situation, now: AreaNow) -> Offer | None:
    """The mark of a step that works in areas, once tasks worth its minutes are ticked on today's date.

    Of several such steps each needs minutes of its own.
    """
    place = unmarked(where, Part.AREAS)
    ticked = _ticked_today(where, now)
    if place is None or ticked < _spent(where) + max(place.step.minutes, 1):
        return None
    verb = "is" if ticked == 1 else "are"
    return offer(where, place, f"{minutes_words(ticked)} {verb} finished.")


def rooms_first_for(where: Situation) -> str | None:
    """The title of the first step that works in areas, while there are none yet."""
    here = come(where, Part.AREAS)
    return here[0].step.title if here and not is_divided(where) else None


def _ticked_today(where: Situation, now: AreaNow) -> int:
    tasks = all_tasks(now.opening.plan.areas)
    return sum(task.minutes for task in tasks if now.done.get(task.id) == where.today)


def _spent(where: Situation) -> int:
    """The minutes of those steps that are marked already."""
    here, marks = on_the_list(where, Part.AREAS), where.standing.marks
    return sum(place.step.minutes for place in here if place.step.id in marks)
