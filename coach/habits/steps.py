"""What a household decides about steps: its own ones, changes, setting aside, and which comes next."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from coach.course.definition import adjusted, id_fault, step_from
from coach.course.jsonform import step_table
from coach.course.recurrence import in_words, weekdays
from coach.course.slugs import free_slug
from coach.errors import Malformed, NotEditable, Unknown
from coach.ground.cautions import caution_view
from coach.ground.wording import full_date
from coach.ground.writing import Decision, to_log, written
from coach.habits.path import step_in
from coach.habits.path_answers import CatalogueStep, StepView
from coach.progress.log import MOST_OWN_STEPS, Row, What

if TYPE_CHECKING:
    from collections.abc import Callable, Container, Mapping

    from coach.course.model import Step
    from coach.ground.ports import Context
    from coach.ground.situation import Situation
    from coach.progress.standing import StepStanding


def add(context: Context, household: str, step: str | None, definition: Mapping[str, Any]) -> StepView:
    """Add a step of the household's own; it comes last in the order.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        step: Its id; made from the title if none is given.
        definition: The keys of a step file (rules §3).

    Raises:
        NotStarted: The household has not chosen its first step.
        NotEditable: There is a step of that id already, or no room for one more.
        Malformed: The id or a key cannot be used, or it comes after a step that does not exist.
    """
    added = step_from(step or "step", definition)
    if step and (fault := id_fault(step)):
        raise Malformed(fault)

    def decide(where: Situation) -> Decision[str]:
        known = where.standing.steps
        if step in known:
            raise NotEditable(f"There is a step “{step}” already. Choose another id.")
        _check_room(known)
        for name in (*added.after, *added.after_any):
            if where.standing.place(name) is None:
                raise Malformed(f"It comes after “{name}”, and there is no such step.")
        chosen = step or free_slug(added.title, known, "step")
        return to_log([Row(where.today, What.ADD, chosen, _json(definition))], chosen)

    return written(context, household, decide, step_in)


def _check_room(known: Mapping[str, StepStanding]) -> None:
    if sum(place.own for place in known.values()) >= MOST_OWN_STEPS:
        raise NotEditable(
            f"There are {MOST_OWN_STEPS} added steps already, as many as there can be. "
            "Change one that is set aside or not wanted instead."
        )


def add_from_catalogue(context: Context, household: str, step: str) -> StepView:
    """Add an optional step of the catalogue, with its lessons.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: The catalogue has no such step.
        NotEditable: The household has it already.
    """
    offered = context.library.catalogue().get(step)
    if offered is None:
        raise Unknown(f"The catalogue has no step “{step}”.")
    return add(context, household, step, step_table(offered))


def adjust(context: Context, household: str, step: str, changes: Mapping[str, Any]) -> StepView:
    """Change some of a step's keys from today on: title, cue, small, slot, minutes, repeats, settles.

    What is so already is not written, so that it is nobody's change.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such step.
        Malformed: A key cannot be changed or its value cannot be used.
    """

    def rows(where: Situation, place: StepStanding) -> Decision[None]:
        adjusted(place.step, changes)
        differing = {name: value for name, value in changes.items() if _differs(place.step, name, value)}
        return to_log([Row(where.today, What.ADJUST, place.step.id, _json(differing))] if differing else [])

    return _decided(context, household, step, rows)


def _differs(step: Step, key: str, value: object) -> bool:
    """Whether a key of a step would become another; the same weekdays in another order are the same rule."""
    if key == "settles":
        return True
    if key == "repeats" and weekdays(str(value)) is not None:
        return weekdays(str(value)) != weekdays(step.repeats)
    return adjusted(step, {key: value}) != step


def set_aside(context: Context, household: str, step: str) -> StepView:
    """Take a step off the list from today on.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such step.
    """

    def rows(where: Situation, place: StepStanding) -> Decision[None]:
        return to_log([] if place.set_aside else [Row(where.today, What.SET_ASIDE, place.step.id)])

    return _decided(context, household, step, rows)


def restore(context: Context, household: str, step: str) -> StepView:
    """Take a step that was set aside up again from today on.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such step.
    """

    def rows(where: Situation, place: StepStanding) -> Decision[None]:
        return to_log([Row(where.today, What.RESTORE, place.step.id)] if place.set_aside else [])

    return _decided(context, household, step, rows)


def take_next(context: Context, household: str, step: str) -> StepView:
    """Ask for a step to come next, once the rules let one come.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such step.
        NotEditable: It has come already, or is set aside.
    """

    def rows(where: Situation, place: StepStanding) -> Decision[None]:
        if place.introduced_on is not None:
            raise NotEditable(f"{place.step.title} has come already, on {full_date(place.introduced_on)}.")
        if place.set_aside:
            raise NotEditable(f"{place.step.title} is set aside. Restore it first.")
        wanted = place.step.id
        return to_log([] if where.standing.wanted == wanted else [Row(where.today, What.NEXT, wanted)])

    return _decided(context, household, step, rows)


def catalogue_beside(context: Context, known: Container[str]) -> tuple[CatalogueStep, ...]:
    """The optional steps, with whether they are among those known already."""
    return tuple(
        CatalogueStep(
            step=step.id,
            title=step.title,
            why=step.why,
            cue=step.cue,
            small=step.small,
            slot=step.slot.value,
            minutes=step.minutes,
            repeats=step.repeats,
            repeats_text=in_words(step.repeats),
            caution=caution_view(context.library, step.caution),
            added=step.id in known,
        )
        for step in context.library.catalogue().values()
    )


def _decided(
    context: Context,
    household: str,
    step: str,
    rows: Callable[[Situation, StepStanding], Decision[None]],
) -> StepView:
    def decide(where: Situation) -> Decision[None]:
        place = where.standing.place(step)
        if place is None:
            raise Unknown(f"There is no step “{step}” here. The path shows all there are.")
        return rows(where, place)

    return written(context, household, decide, lambda where, _: step_in(where, step))


def _json(table: Mapping[str, Any]) -> str:
    return json.dumps(dict(table), ensure_ascii=False, separators=(",", ":"))
