"""The path: the progression graph with a household's place on it, and one step with its choices."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.course.layout import picture
from coach.course.model import Step
from coach.course.recurrence import in_words, weekdays
from coach.errors import Unknown
from coach.ground.cautions import caution_view
from coach.ground.parts import part_of
from coach.ground.situation import looking
from coach.habits.day import lesson_view
from coach.habits.path_answers import GateView, OutcomeView, Path, PathStep, StepView
from coach.habits.wording import needs
from coach.progress.lessons import lessons_so_far
from coach.progress.ramp import comes_next
from coach.progress.replay import before_start
from coach.progress.standing import Stand, Standing, StepStanding

if TYPE_CHECKING:
    from coach.course.layout import Picture
    from coach.ground.ports import Context
    from coach.ground.situation import Situation
    from coach.habits.answers import StateName

STRENGTH_DECIMALS = 6
"""With so many decimals strengths are said."""


def path(context: Context, household: str) -> Path:
    """The progression graph; before the start every step is ahead."""
    if context.store.version(household) is None:
        return path_ahead(context)
    with looking(context, household) as where:
        return path_in(where)


def path_ahead(context: Context) -> Path:
    """The progression graph of a household that has not started."""
    return _path(context.course, _unstarted(context), None)


def path_in(where: Situation) -> Path:
    """The progression graph, out of a situation."""
    return _path(where.home.course, where.standing, where)


def _path(course: str, standing: Standing, where: Situation | None) -> Path:
    return Path(
        course=course,
        title=standing.course.title,
        summary=standing.course.summary,
        started=where is not None,
        steps=tuple(_path_step(standing, place) for place in standing.steps.values()),
        next=comes_next(where.state, where.book, where.opening) if where else None,
    )


def picture_of(path: Path) -> Picture:
    """The graph of a path, laid out to be drawn; nodes in the path's order."""
    return picture(
        Step(
            id=step.step,
            title=step.title,
            repeats=step.repeats,
            after=step.after,
            after_any=step.after_any,
        )
        for step in path.steps
    )


def step(context: Context, household: str, step: str) -> StepView:
    """One step with what has happened to it and what can be chosen.

    Raises:
        Unknown: There is no such step.
    """
    if context.store.version(household) is None:
        return step_ahead(context, step)
    with looking(context, household) as where:
        return step_in(where, step)


def step_ahead(context: Context, step: str) -> StepView:
    """One step as it is before the start; the errors are those of `step`."""
    standing = _unstarted(context)
    return _step_view(context, standing, _place(standing, step), started=False)


def step_in(where: Situation, step: str) -> StepView:
    """One step, out of a situation; the errors are those of `step`."""
    return _step_view(where.context, where.standing, _place(where.standing, step), started=True)


def _place(standing: Standing, step: str) -> StepStanding:
    place = standing.place(step)
    if place is None:
        raise Unknown(f"There is no step “{step}” here. The path shows all there are.")
    return place


def _unstarted(context: Context) -> Standing:
    return before_start(context.library.course(context.course))


def strength_range(place: StepStanding) -> tuple[float, float]:
    """The estimate for 254 repetitions and for 18."""
    return round(place.slowest, STRENGTH_DECIMALS), round(place.fastest, STRENGTH_DECIMALS)


def _shown_state(place: StepStanding) -> StateName:
    """The state people see: a step can be set aside before it ever came."""
    return Stand.SET_ASIDE.value if place.set_aside else place.state.value


def _path_step(standing: Standing, place: StepStanding) -> PathStep:
    return PathStep(
        step=place.step.id,
        title=place.step.title,
        state=_shown_state(place),
        after=place.step.after,
        after_any=place.step.after_any,
        introduced_on=place.introduced_on,
        settled_on=place.settled_on,
        kept=place.kept,
        due=place.due,
        strength=round(place.strength, STRENGTH_DECIMALS),
        strength_range=strength_range(place),
        waits=place.step.waits,
        repeats=place.step.repeats,
        own=place.own,
        needs=needs(standing, place),
        gate=_gate(place),
    )


def _gate(place: StepStanding) -> GateView:
    return GateView(bars=place.step.settles.kept, lifted=place.lifted)


def _step_view(context: Context, standing: Standing, place: StepStanding, *, started: bool) -> StepView:
    """A step as its page shows it."""
    step = place.step
    return StepView(
        step=step.id,
        title=step.title,
        state=_shown_state(place),
        why=step.why,
        cue=step.cue,
        small=step.small,
        slot=step.slot.value,
        minutes=step.minutes,
        repeats=step.repeats,
        repeats_text=in_words(step.repeats),
        weekdays=weekdays(step.repeats),
        settles_kept=step.settles.kept,
        settles_of=step.settles.of,
        waits=step.waits,
        works_in=part_of(step),
        caution=caution_view(context.library, step.caution),
        lessons=tuple(map(lesson_view, lessons_so_far(standing, place, context.library.catalogue()))),
        recent=tuple(OutcomeView(on, "kept" if kept else "missed") for on, kept in place.recent),
        latest_kept=place.settling.kept or 0,
        latest_seen=place.settling.seen or 0,
        gate=_gate(place),
        kept=place.kept,
        due=place.due,
        introduced_on=place.introduced_on,
        settled_on=place.settled_on,
        strength=round(place.strength, STRENGTH_DECIMALS),
        strength_range=strength_range(place),
        after=step.after,
        after_any=step.after_any,
        needs=needs(standing, place),
        own=place.own,
        can=_choices(standing, place) if started else (),
    )


def _choices(standing: Standing, place: StepStanding) -> tuple[str, ...]:
    if place.set_aside:
        return ("restore", "adjust")
    is_ahead = place.introduced_on is None
    wanted = standing.wanted == place.step.id
    return ("next", "set-aside", "adjust") if is_ahead and not wanted else ("set-aside", "adjust")
