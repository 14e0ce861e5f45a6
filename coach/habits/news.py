"""What is new on a day: the step that came and why, what has settled, and the places the bar has gained."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from coach.ground.pages import OPENED, PLACES, pages_of
from coach.habits.note_words import arrival_text, place_text, settled_text
from coach.habits.notes import Arrived, BecauseView, NewPlace, SettledStep
from coach.progress.arrival import causes
from coach.progress.days import ONE_DAY, exists
from coach.progress.opening import Phase
from coach.progress.standing import Stand

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from datetime import date

    from coach.ground.situation import Situation
    from coach.progress.standing import Standing, StepStanding

PLACE_WORDS: Mapping[Literal["week", "home"], str] = {"week": "Week", "home": "Home"}
"""The places of the bar that open one day, by what stands there."""


def arrived_in(where: Situation) -> Arrived | None:
    """The step that came on the day by its turn, and why; a step that came by a mark says nothing."""
    standing, state, step_id = where.standing, where.state, where.standing.introduced
    if step_id is None:
        return None
    rows = where.book.decisions_between(state.through, standing.on)
    because = causes(state, standing.on, step_id, rows)
    return Arrived(
        step=step_id,
        title=standing.steps[step_id].step.title,
        because=tuple(BecauseView(one.kind, one.step, one.kept, one.of) for one in because),
        text=arrival_text(standing, step_id, because),
    )


def settled_in(where: Situation, arrived: Arrived | None) -> tuple[SettledStep, ...]:
    """What has settled since the latest day with a mark, so that each is said on one day somebody was there.

    Nothing is said while the household is away, and nothing of a step that is not on the list any more.
    """
    standing = where.standing
    if standing.phase in {Phase.PAUSED, Phase.LAPSED}:
        return ()
    said = {one.step for one in arrived.because if one.kept is not None} if arrived else set()
    return tuple(_settled(standing, place, place.step.id in said) for place in _just_settled(where))


def _just_settled(where: Situation) -> Iterator[StepStanding]:
    """The active steps since whose settling no day before this one has had a mark."""
    standing = where.standing
    earliest = standing.on - (where.state.gap + 2) * ONE_DAY
    for place in standing.steps.values():
        day = place.settled_on
        if day is None or day < earliest or place.state is not Stand.SETTLED:
            continue
        if _days_between(day, standing.on, standing.zone) <= where.state.gap:
            yield place


def _days_between(first: date, last: date, zone: str) -> int:
    """How many household days lie strictly between two dates."""
    return sum(exists(first + ahead * ONE_DAY, zone) for ahead in range(1, (last - first).days))


def _settled(standing: Standing, place: StepStanding, said: bool) -> SettledStep:  # noqa: FBT001  private
    kept, of = _numbers(place)
    step = place.step
    holds = step.waits or any(
        step.id in (*other.step.after, *other.step.after_any) for other in standing.steps.values()
    )
    return SettledStep(
        step.id, step.title, kept, of, settled_text(step.title, kept, of, said=said, holds=holds)
    )


def _numbers(place: StepStanding) -> tuple[int, int] | tuple[None, None]:
    """Outcomes kept and looked at when it settled; none where too much has happened to it since."""
    rule, day = place.step.settles, place.settled_on
    latest = [kept for on, kept in place.recent if day is not None and on <= day][-rule.of :]
    return (sum(latest), len(latest)) if sum(latest) >= rule.kept else (None, None)


def new_places_in(where: Situation) -> tuple[NewPlace, ...]:
    """The places of the bar that open on this day with a step that comes, unless they were opened early."""
    standing = where.standing
    came = [place for place in standing.steps.values() if place.introduced_on == standing.on]
    opening = {page: place for place in came for page in pages_of(place.step)}
    if not opening:
        return ()
    before = set(where.plan.keys(OPENED)) | {
        page
        for place in standing.steps.values()
        if place.introduced_on is not None and place.introduced_on < standing.on
        for page in pages_of(place.step)
    }
    return tuple(
        _new_place(name, next(opening[page] for page in opening if page in PLACES[name]))
        for name in PLACE_WORDS
        if not before & PLACES[name] and opening.keys() & PLACES[name]
    )


def _new_place(name: Literal["week", "home"], place: StepStanding) -> NewPlace:
    word, title = PLACE_WORDS[name], place.step.title
    return NewPlace(name, word, place.step.id, title, place_text(word, title))
