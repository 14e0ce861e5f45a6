"""What could come next in the steady time: a few optional steps that would fit the day as it is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.course.model import Slot
from coach.course.recurrence import is_by_days
from coach.habits.note_words import ideas_text
from coach.habits.notes import Idea, Ideas
from coach.progress.lessons import ACTIVE
from coach.progress.opening import Phase

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from coach.course.model import Step
    from coach.progress.standing import Standing

SHOWN = 3
"""How many are named at a time."""
FROM_THE_LIGHTEST = 2
"""How many of them belong to the part of the day with the fewest minutes; the others to the next one."""
STAYS = 7
"""For so many days the same ones are named."""


def ideas_in(standing: Standing, catalogue: Mapping[str, Step]) -> Ideas | None:
    """Optional steps the household does not have, for the part of the day with most room; None before then.

    Which they are follows from the day and the list alone, so everybody in the home is shown the same.
    """
    if standing.phase is not Phase.STEADY:
        return None
    lightest, *others = _lightest_first(standing)
    left = [step for step in catalogue.values() if step.id not in standing.steps]
    turn = (standing.day - 1) // STAYS
    fitting = _turned([step for step in left if step.slot is lightest], turn)
    beside = _turned([step for step in left if step.slot is others[0]], turn)
    last = [step for step in left if step.slot is others[1]]
    in_order = [*fitting[:FROM_THE_LIGHTEST], *beside[:1], *fitting[FROM_THE_LIGHTEST:], *beside[1:], *last]
    return Ideas(tuple(map(_idea, in_order[:SHOWN])), ideas_text(lightest.value))


def _lightest_first(standing: Standing) -> list[Slot]:
    """The parts of the day by the minutes of the daily steps in them; of equal ones the earlier."""
    minutes = dict.fromkeys(Slot, 0)
    for place in standing.steps.values():
        if place.state in ACTIVE and is_by_days(place.step.repeats):
            minutes[place.step.slot] += place.step.minutes
    return sorted(minutes, key=minutes.__getitem__)


def _turned(steps: Sequence[Step], turn: int) -> list[Step]:
    """The same steps, beginning with others each time."""
    first = turn * FROM_THE_LIGHTEST % len(steps) if steps else 0
    return [*steps[first:], *steps[:first]]


def _idea(step: Step) -> Idea:
    return Idea(step.id, step.title, step.why, step.minutes, step.slot.value)
