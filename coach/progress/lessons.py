"""The one lesson a day shows: the step's whose turn it is, or a text that fits the day (rules §8)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from coach.progress.opening import Phase
from coach.progress.turns import Turn

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from coach.course.model import Lesson, Step
    from coach.course.reader import TextFile
    from coach.progress.standing import Standing, StepStanding
    from coach.progress.turns import StepLesson

ACTIVE = frozenset({"practising", "settled"})


@dataclass(frozen=True, slots=True)
class Chosen:
    """A lesson; if it is one of a step's, that step and the lesson's number, counted from 1."""

    step: str | None
    lesson: Lesson
    number: int | None = None


def lessons_of(step: Step, catalogue: Mapping[str, Step]) -> tuple[Lesson, ...]:
    """A step's lessons; a step added from the catalogue has them there."""
    if step.lessons or step.id not in catalogue:
        return step.lessons
    return catalogue[step.id].lessons


def lessons_so_far(standing: Standing, place: StepStanding, catalogue: Mapping[str, Step]) -> list[Chosen]:
    """The lessons a step's page shows: those read and today's, or all of one from the catalogue."""
    if place.introduced_on is None:
        return []
    lessons = lessons_of(place.step, catalogue)
    if place.step.lessons:
        of_today = standing.lesson is not None and standing.lesson[0] == place.step.id
        lessons = lessons[: place.read + of_today]
    return [Chosen(place.step.id, lesson, number) for number, lesson in enumerate(lessons, 1)]


def lesson_of(standing: Standing, texts: Sequence[TextFile], catalogue: Mapping[str, Step]) -> Chosen | None:
    """The lesson of the day.

    Where no step's lesson has its turn, a household that is away or on its way back reads about that, and one
    that missed all the day before what to do about it. On the days that are left the lessons of the steps
    added from the catalogue come first, then the texts of the steady time in turn.
    """
    if standing.lesson is not None:
        return _of_step(standing, standing.lesson, catalogue)
    if standing.turn is Turn.AWAY:
        return _away(standing, texts)
    answer = _rotated(texts, "missed", standing.answers) if standing.turn is Turn.MISSED else None
    if answer is not None:
        return answer
    added = _added_lesson(standing, catalogue) if standing.turn is Turn.FREE else None
    return _of_step(standing, added, catalogue) if added else _rotated(texts, "steady", standing.free)


def _of_step(standing: Standing, lesson: StepLesson, catalogue: Mapping[str, Step]) -> Chosen:
    step, number = lesson
    return Chosen(step, lessons_of(standing.steps[step].step, catalogue)[number - 1], number)


def _away(standing: Standing, texts: Sequence[TextFile]) -> Chosen | None:
    if standing.phase is Phase.PAUSED:
        return _rotated(texts, "paused", standing.day)
    if standing.comeback is not None:
        return _return(standing, texts)
    return _rotated(texts, "rebuilding", standing.day)


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


def _rotated(texts: Sequence[TextFile], when: str, count: int) -> Chosen | None:
    return _pick([lesson for text in texts if text.when == when for lesson in text.lessons], count)


def _pick(lessons: Sequence[Lesson], count: int) -> Chosen | None:
    return Chosen(None, lessons[count % len(lessons)]) if lessons else None


def _added_lesson(standing: Standing, catalogue: Mapping[str, Step]) -> StepLesson | None:
    """The lesson of a step added from the catalogue that has its turn on a free day.

    The log does not hold these lessons, so nothing counts what was read of them. It follows from the free
    days there were when each step came: on every one since then the step that came latest has used up a
    lesson, until it had none left. What falls to a step that is set aside or rests by now is left out.
    """
    unread: list[list[StepLesson]] = []
    reached = 0
    for place in _added(standing):
        _use_up(unread, place.free - reached)
        reached = place.free
        count = len(lessons_of(place.step, catalogue))
        unread.append([(place.step.id, number) for number in range(count, 0, -1)])
    _use_up(unread, standing.free - reached)
    step = next((lessons[-1] for lessons in reversed(unread) if lessons), None)
    return step if step and standing.steps[step[0]].state in ACTIVE else None


def _added(standing: Standing) -> list[StepStanding]:
    """The household's own steps that have come, in the order in which they came."""
    added = [place for place in standing.steps.values() if place.own and place.introduced_on is not None]
    return sorted(added, key=lambda place: place.introduced_on or standing.on)


def _use_up(unread: list[list[StepLesson]], days: int) -> None:
    """Take one lesson for each of so many days from the step that came latest."""
    for _ in range(days):
        while unread and not unread[-1]:
            unread.pop()
        if not unread:
            return
        unread[-1].pop()
