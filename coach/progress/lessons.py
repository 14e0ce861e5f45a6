"""Which one lesson a day gets."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from coach.progress.opening import Phase

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from coach.course.model import Lesson, Step
    from coach.course.reader import TextFile
    from coach.progress.standing import Standing, StepStanding


@dataclass(frozen=True, slots=True)
class Chosen:
    """A lesson and the step it belongs to, if it belongs to one."""

    step: str | None
    lesson: Lesson


def lessons_of(step: Step, catalogue: Mapping[str, Step]) -> tuple[Lesson, ...]:
    """A step's lessons; a step added from the catalogue has them there."""
    if step.lessons or step.id not in catalogue:
        return step.lessons
    return catalogue[step.id].lessons


def lesson_of(standing: Standing, texts: Sequence[TextFile], catalogue: Mapping[str, Step]) -> Chosen | None:
    """The lesson of the day.

    A household that is away or on its way back reads about that. The first lesson of a step belongs to the
    day it comes and the following ones to the days after, the latest step first. After these, the day after a
    miss has a lesson of its own, and all other days share lessons that rotate by the number of the day, so
    that none comes twice within a round.
    """
    if standing.phase is Phase.PAUSED:
        return _rotated(texts, "paused", standing.day)
    if standing.comeback is not None:
        return _return(standing, texts)
    if standing.phase is Phase.REBUILDING:
        return _rotated(texts, "rebuilding", standing.day)
    missed = "missed" if standing.missed_yesterday else "steady"
    return (
        _of_latest_step(standing, catalogue)
        or _rotated(texts, missed, standing.day)
        or _rotated(texts, "steady", standing.day)
    )


def _return(standing: Standing, texts: Sequence[TextFile]) -> Chosen | None:
    comeback = standing.comeback
    if comeback is None:
        return None
    fitting = [
        text
        for text in texts
        if text.when == "return"
        and text.after_pause == comeback.after_pause
        and (text.from_days or 0) <= comeback.gap
    ]
    longest = max(fitting, key=lambda text: text.from_days or 0, default=None)
    return _pick(longest.lessons, standing.day) if longest else None


def _rotated(texts: Sequence[TextFile], when: str, day: int) -> Chosen | None:
    return _pick([lesson for text in texts if text.when == when for lesson in text.lessons], day)


def _pick(lessons: Sequence[Lesson], day: int) -> Chosen | None:
    return Chosen(None, lessons[day % len(lessons)]) if lessons else None


def _of_latest_step(standing: Standing, catalogue: Mapping[str, Step]) -> Chosen | None:
    if standing.introduced is not None:
        first = lessons_of(standing.steps[standing.introduced].step, catalogue)
        if first:
            return Chosen(standing.introduced, first[0])
    unread = [
        (step, lessons)
        for step in _on_the_way(standing.steps.values())
        if step.days < len(lessons := lessons_of(step.step, catalogue))
    ]
    if not unread:
        return None
    step, lessons = min(unread, key=lambda pair: (pair[0].days, not pair[0].step.waits))
    return Chosen(step.step.id, lessons[step.days])


def _on_the_way(steps: Iterable[StepStanding]) -> Iterable[StepStanding]:
    return (step for step in steps if step.state in {"practising", "settled"})
