"""An area sorted out first: its declutter list takes the place of the other until its shelves are done."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.areas.changes import Change, change
from coach.areas.overview import all_areas_in
from coach.areas.rules.model import TaskList, position_of
from coach.areas.rules.replanning import not_sorted_first, sorted_first
from coach.course.direction import isolated
from coach.errors import Malformed

if TYPE_CHECKING:
    from coach.areas.answers import Areas
    from coach.areas.rules.plan import Plan
    from coach.ground.ports import Context


def sort_first(context: Context, household: str, area: str, *, first: bool) -> Areas:
    """Sort an area out first, from this week on, or go back to its tasks; what is so already stays as it is.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: The areas are not set up, or there is no such area.
        Malformed: Nothing is on the area's list for sorting out.
    """

    def decide(found: Change) -> tuple[Plan, str]:
        one = found.plan.areas[position_of(found.plan.areas, area)]
        name = isolated(one.name)
        if not first:
            return not_sorted_first(found.plan, one), f"Went back to the tasks of {name}"
        if not one.declutter:
            raise Malformed(
                f"Nothing is on the list for sorting out {name}. Add what is to be sorted, and choose again."
            )
        if found.plan.is_sorted_out(one, {**found.now.passes.last_done, **found.now.done}):
            return found.plan, ""
        plan = sorted_first(found.plan, one, found.where.today, _in_pass(found))
        return plan, f"Chose to sort {name} out first"

    return change(context, household, decide, all_areas_in)


def _in_pass(found: Change) -> set[str]:
    """The ids of the tasks done in their area's pass by now."""
    begun_anew = {
        task.id
        for one in found.opening.areas
        if one.new_pass and one.which is TaskList.DECLUTTER
        for task in one.area.declutter
    }
    return (found.now.passes.in_pass - begun_anew) | found.now.done.keys()
