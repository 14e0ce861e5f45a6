"""The numbers of a course's rules as arrays, the same for every household that is followed at once."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from coach.progress.returning import at_least
from coach.progress.strength import Rates

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from coach.course.model import Course, Step

NOBODY = -1
"""In the place of a step that there is not: it is never cleared."""


@dataclass(frozen=True, slots=True)
class Rulebook:
    """What the rules ask of S steps.

    Attributes:
        ids: The steps, in course order; everywhere else a step is its place in this order.
        repeats: Their recurrence rules.
        waits: (S,) bool.
        minutes: (S,) minutes on a day it is due.
        after: For each step those that must all be cleared before it, `NOBODY` for one there is not.
        after_any: For each step those of which one must be.
        kept: (S,) outcomes that settle it, of the latest `of`.
        of: (S,) outcomes looked at.
        at_once: How many waiting steps may be practised at a time.
        lapse_after: Empty days in a row that make a lapse.
        over: Counted days the hold looks at.
        half_life: Days away that halve the list a household comes back to.
        hold: The share kept under which nothing new comes.
        good_day: The share kept that brings one more step back.
        growth: What one kept outcome adds of the strength that is left.
        fading: The factor of one missed outcome.
    """

    ids: tuple[str, ...]
    repeats: tuple[str, ...]
    waits: NDArray[np.bool_]
    minutes: NDArray[np.int64]
    after: tuple[tuple[int, ...], ...]
    after_any: tuple[tuple[int, ...], ...]
    kept: NDArray[np.int64]
    of: NDArray[np.int64]
    at_once: int
    lapse_after: int
    over: int
    half_life: float
    hold: float
    good_day: float
    growth: float
    fading: float

    @property
    def size(self) -> int:
        """How many steps there are."""
        return len(self.ids)

    def least_kept(self, share: float, most: int) -> NDArray[np.int64]:
        """For so many outcomes, from none to `most`, the fewest kept whose share reaches one.

        Shares are compared as the rules compare them, at 9 decimals. The table may go on beyond `most`.
        """
        return _least_kept(share, 1 << most.bit_length())


@lru_cache(maxsize=64)
def _least_kept(share: float, most: int) -> NDArray[np.int64]:
    least = np.zeros(most + 1, np.int64)
    for outcomes in range(1, most + 1):
        kept = max(int(least[outcomes - 1]), 0)
        while kept <= outcomes and not at_least(kept, outcomes, share):
            kept += 1
        least[outcomes] = kept
    least.setflags(write=False)
    return least


def rulebook(course: Course, steps: Sequence[Step]) -> Rulebook:
    """The rules of a course, with its steps as they hold for a household: at its pace, with its changes.

    Args:
        course: The course, for the numbers that are not a step's.
        steps: The steps in course order; a household's own come last.
    """
    place = {step.id: number for number, step in enumerate(steps)}
    rates = Rates.of(course.strength)
    return Rulebook(
        ids=tuple(place),
        repeats=tuple(step.repeats for step in steps),
        waits=np.array([step.waits for step in steps], bool),
        minutes=np.array([step.minutes for step in steps], np.int64),
        after=tuple(tuple(place.get(name, NOBODY) for name in step.after) for step in steps),
        after_any=tuple(tuple(place.get(name, NOBODY) for name in step.after_any) for step in steps),
        kept=np.array([step.settles.kept for step in steps], np.int64),
        of=np.array([step.settles.of for step in steps], np.int64),
        at_once=course.at_once,
        lapse_after=course.lapse_after,
        over=course.hold.over,
        half_life=course.returning.half_life,
        hold=course.hold.at_least,
        good_day=course.returning.good_day,
        growth=rates.typical,
        fading=rates.fading,
    )


def rulebook_at(course: Course, pace: str) -> Rulebook:
    """The rules of a course at one of its paces, as a household meets them that changes nothing."""
    added = course.paces.get(pace, 0)
    return rulebook(course, [replace(step, settles=step.settles.at_pace(added)) for step in course.steps])
