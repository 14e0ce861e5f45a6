"""The pages of the home plan, the places of the bar they stand in, and which of them a step opens."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.course.model import Part
from coach.course.recurrence import is_by_days

if TYPE_CHECKING:
    from coach.course.model import Step

OPENED = "opened"
"""The kind of the plan that holds what was opened early."""
PAGES = ("week", "areas", "dinner", "desk")
"""The pages of the home plan, in the order of the bar."""
INTRODUCES = {Part.AREAS: "areas", Part.DINNER: "dinner", Part.DESK: "desk", Part.ERRANDS: "desk"}
"""The page a step introduces by the part it works in; any that does not come daily introduces the week."""
PLACES = {"week": frozenset({"week"}), "home": frozenset({"areas", "dinner", "desk"})}
"""The places of the bar that open with the first of their pages."""


def pages_of(step: Step) -> frozenset[str]:
    """The pages that are open once a step has come."""
    by_part = {INTRODUCES[step.part]} if step.part is not None else set()
    return frozenset(by_part | (set() if is_by_days(step.repeats) else {"week"}))
