"""The steps that work in a part of the home plan, as a situation has them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from coach.progress.opening import Phase

if TYPE_CHECKING:
    from coach.course.model import Part, Step
    from coach.ground.situation import Situation
    from coach.progress.standing import StepStanding


PartName = Literal["areas", "dinner", "desk", "errands"]


def part_of(step: Step) -> PartName | None:
    """The name of the part of the plan a step works in, if it works in one."""
    part = step.part
    return None if part is None else part.value


def come(where: Situation, part: Part) -> tuple[StepStanding, ...]:
    """The steps working in a part of the plan that have come and are not set aside, in course order."""
    places = where.standing.steps.values()
    return tuple(
        place
        for place in places
        if place.step.part is part and place.introduced_on is not None and not place.set_aside
    )


def on_the_list(where: Situation, part: Part) -> tuple[StepStanding, ...]:
    """The steps working in a part of the plan that are open today, marked or not."""
    standing = where.standing
    if standing.on != where.today or standing.phase in {Phase.PAUSED, Phase.LAPSED}:
        return ()
    places = (standing.steps[step] for step in standing.checklist)
    return tuple(place for place in places if place.step.part is part)
