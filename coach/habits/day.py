"""The day a household looks at, as pages and JSON show it: today's, and those before it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from coach.course.placeholders import filled_lesson
from coach.ground.cautions import caution_view
from coach.ground.parts import part_of
from coach.ground.prose import render
from coach.ground.situation import is_editable, looking, remembered
from coach.habits.answers import (
    ChecklistLine,
    Day,
    LessonView,
    PauseView,
    ReasonView,
    RestingStep,
    WelcomeBack,
)
from coach.habits.few_lines import empty_in, few_in
from coach.habits.help import stuck_in
from coach.habits.ideas import ideas_in
from coach.habits.news import arrived_in, new_places_in, settled_in
from coach.habits.signatures import Signatures
from coach.habits.wording import reason_text
from coach.progress.days import following, preceding
from coach.progress.lessons import Chosen, lesson_of
from coach.progress.opening import Phase

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from coach.ground.ports import Context, Library
    from coach.ground.situation import Situation
    from coach.progress.standing import Standing


def today(context: Context, household: str) -> Day:
    """The household's current day.

    It costs one primary-key read while nothing was written since it was last worked out.

    Raises:
        NotStarted: The household has not chosen its first step.
    """
    return remembered(context, household, "today", day_view)


def day(context: Context, household: str, on: date) -> Day:
    """A household day from the start to today; the last seven before today can be edited.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: The date lies before the start, in the future, or never happened.
    """
    with looking(context, household, on) as where:
        return day_view(where)


def day_after(where: Situation, _value: object) -> Day:
    """The day as it stands once something was written."""
    return day_view(where)


def day_view(where: Situation) -> Day:
    """The day a situation amounts to."""
    standing, library = where.standing, where.context.library
    is_today = standing.on == where.today
    yesterday = preceding(standing.on, standing.zone)
    tomorrow = following(standing.on, standing.zone)
    arrived = arrived_in(where)
    return Day(
        date=standing.on,
        day=standing.day,
        phase=standing.phase.value,
        editable=is_editable(standing.on, where.today, standing.started),
        today=is_today,
        lesson=lesson_view(chosen) if (chosen := chosen_in(where)) else None,
        introduced=standing.introduced,
        checklist=_lines(where),
        waiting_for=tuple(
            ReasonView(
                reason.kind, reason.step, reason.kept, reason.needs, reason.of, reason_text(standing, reason)
            )
            for reason in standing.reasons
        ),
        welcome_back=_welcome(standing),
        resting=_resting(standing),
        stuck=stuck_in(standing) if is_today else (),
        pauses=pauses_in(where) if is_today else (),
        earlier=yesterday if yesterday >= standing.started else None,
        later=tomorrow if tomorrow <= where.today else None,
        arrived=arrived,
        settled=settled_in(where, arrived) if is_today else (),
        new_places=new_places_in(where) if is_today else (),
        empty=empty_in(where) if is_today else None,
        few=few_in(where) if is_today else None,
        ideas=ideas_in(standing, library.catalogue()) if is_today else None,
        version=where.home.version,
    )


def lesson_view(chosen: Chosen) -> LessonView:
    """A lesson with its Markdown rendered."""
    lesson = chosen.lesson
    return LessonView(chosen.step, chosen.number, lesson.title, lesson.markdown, render(lesson.markdown))


def chosen_in(where: Situation) -> Chosen | None:
    """The lesson of the day; one that belongs to no step says the numbers of the course that is followed."""
    standing, library = where.standing, where.context.library
    chosen = lesson_of(standing, library.texts(), library.catalogue())
    if chosen is not None and chosen.step is None:
        filled = filled_lesson(chosen.lesson, where.state.course, standing.pace)
        chosen = replace(chosen, lesson=filled)
    return chosen


def _lines(where: Situation) -> tuple[ChecklistLine, ...]:
    """The lines of the checklist, where several live with who marked them and who takes them."""
    signatures = Signatures(where)
    return tuple(
        _line(where.context.library, where.standing, step_id, signatures)
        for step_id in where.standing.checklist
    )


def _line(library: Library, standing: Standing, step_id: str, signatures: Signatures) -> ChecklistLine:
    place = standing.steps[step_id]
    step = place.step
    mark = standing.marks.get(step_id)
    return ChecklistLine(
        step=step_id,
        title=step.title,
        small=step.small,
        slot=step.slot.value,
        minutes=step.minutes,
        cue=step.cue,
        mark=mark.value if mark else None,
        open_since=standing.on if standing.phase is Phase.LAPSED else place.open_since,
        state=place.state.value,
        caution=caution_view(library, step.caution),
        works_in=part_of(step),
        new=standing.introduced == step_id,
        marked_by=signatures.of(step_id),
        mine=signatures.taker(step_id),
    )


def _resting(standing: Standing) -> tuple[RestingStep, ...]:
    return tuple(RestingStep(step_id, standing.steps[step_id].step.title) for step_id in standing.resting)


def _welcome(standing: Standing) -> WelcomeBack | None:
    comeback = standing.comeback
    if comeback is None:
        return None
    return WelcomeBack(
        gap=comeback.gap,
        back=comeback.back,
        of=comeback.of,
        resting=_resting(standing),
        returned=standing.phase is not Phase.LAPSED,
        chosen=comeback.choice or None,
    )


def pauses_in(where: Situation) -> tuple[PauseView, ...]:
    """The pause that runs and those planned, as today shows them."""
    return tuple(_pauses(where))


def _pauses(where: Situation) -> Iterator[PauseView]:
    """The pause that runs and those planned."""
    standing = where.standing
    pause = standing.pause
    if pause is not None and pause.covers(standing.on):
        yield PauseView(pause.since, pause.until, running=standing.phase is Phase.PAUSED)
    for planned in where.planned.values():
        if planned is not None:
            yield PauseView(planned.since, planned.until, running=False)
