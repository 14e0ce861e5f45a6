"""Which steps could do with a little help, and what is said of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.habits.note_words import stuck_text
from coach.habits.notes import StuckStep
from coach.progress.opening import Phase
from coach.progress.standing import Stand

if TYPE_CHECKING:
    from coach.progress.standing import Standing, StepStanding

STUCK_AFTER = 10
"""After so many outcomes a waiting step that has not settled is offered help."""
LATEST, MISSES = 4, 3
"""So many misses among its latest outcomes, and any step being practised is."""


def missed_lately(place: StepStanding) -> bool:
    """Whether three of a step's latest four outcomes, or all of its only three, were missed."""
    latest = place.recent[-LATEST:]
    return place.state is Stand.PRACTISING and sum(not kept for _, kept in latest) >= MISSES


def is_long(place: StepStanding) -> bool:
    """Whether a waiting step has had ten outcomes and still has not settled."""
    return place.state is Stand.PRACTISING and place.step.waits and place.due >= STUCK_AFTER


def stuck_in(standing: Standing) -> tuple[StuckStep, ...]:
    """The steps that could do with help, the one with most misses first; of equal ones in course order."""
    if standing.phase in {Phase.PAUSED, Phase.LAPSED}:
        return ()
    found = [place for place in standing.steps.values() if missed_lately(place) or is_long(place)]
    return tuple(map(_stuck, sorted(found, key=lambda place: place.kept - place.due)))


def _stuck(place: StepStanding) -> StuckStep:
    step, lately = place.step, missed_lately(place)
    latest = [kept for _, kept in place.recent[-LATEST:]]
    kept, of = (sum(latest), len(latest)) if lately else (place.kept, place.due)
    return StuckStep(
        step=step.id,
        title=step.title,
        small=step.small,
        slot=step.slot.value,
        cue=step.cue,
        because="lately" if lately else "long",
        kept=place.kept,
        due=place.due,
        text=stuck_text(kept, of, lately=lately),
    )
