"""What is offered once dinner is decided: the mark of the step it belongs to."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.course.model import Part
from coach.ground.offers import Offer, offer, unmarked

if TYPE_CHECKING:
    from datetime import date

    from coach.ground.situation import Situation


def dinner_offer(where: Situation, on: date) -> Offer | None:
    """The mark of a step that works in dinner, for a date whose dinner is decided; none but today's."""
    place = unmarked(where, Part.DINNER) if on == where.today else None
    return offer(where, place, "Today's dinner is decided.") if place else None
