"""One comparison that a coach asks for: whether households settle a step sooner here than there."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from coach.coaching.groups import coach_day, group_of
from coach.coaching.rules.counts import FEWEST, Count, ended, entered
from coach.coaching.rules.logrank import compared
from coach.coaching.stopping import counts_of, numbers
from coach.coaching.stopping_answers import Comparison, Side
from coach.coaching.titles import courses_of, step_titles
from coach.coaching.told import known, sunday_of
from coach.errors import Malformed, Unknown

if TYPE_CHECKING:
    from collections.abc import Mapping

    from coach.ground.people import Caller
    from coach.ground.ports import Context

FEWEST_EVENTS = 10
"""Fewer households that settled, on both sides together, are too few to compare by: a choice."""

NO_STEP = "The course of this group has no such step."
ONE_COMPARISON = (
    "Say what is to be compared: two paces, two versions of the group's course, or this group and another."
)
NO_PACE = "At one of these paces too few households began this step: at least {fewest} are needed."


TOLD_BY = 5
"""The events of a comparison of paces are told in steps of so many, rounded down."""

ONE_OF = {(2, False, 0), (0, True, 0), (0, False, 2)}
"""How many versions, whether another group, and how many paces one comparison has."""


class Sides(NamedTuple):
    """What is to be compared.

    Attributes:
        versions: Two versions of the group's course; empty: the groups are compared.
        other: Another group of the coach's; empty: the versions are compared.
        paces: Two paces at which households began the step, in this group; empty: something else is compared.
    """

    versions: tuple[str, ...]
    other: str
    paces: tuple[str, ...] = ()


def compare(context: Context, caller: Caller, group: str, step: str, sides: Sides) -> Comparison:
    """Hold two lots of households against each other by one log-rank test.

    Args:
        context: Store, lessons and clock.
        caller: Who asks.
        group: The group's id.
        step: The step that is settled.
        sides: What is compared.

    Raises:
        Unknown: A group is not the caller's, or the course has no such step.
        Malformed: It is not one comparison, or there are too few to tell.
    """
    # Whoever may not know of the group is told nothing else about what they asked.
    titles = _titles(context, caller, group)
    if (len(sides.versions), bool(sides.other), len(sides.paces)) not in ONE_OF:
        raise Malformed(ONE_COMPARISON)
    if step not in titles:
        raise Unknown(NO_STEP)
    if sides.paces:
        return _of_paces(context, group, (step, titles[step]), sides.paces)
    lots = _lots(context, caller, group, step, sides)
    for label, lot in lots.items():
        if entered(lot) < FEWEST:
            raise Malformed(f"{label} has too few households to tell: at least {FEWEST} are needed.")
    (first, second) = lots.values()
    events = ended(first, "settled") + ended(second, "settled")
    if events < FEWEST_EVENTS:
        raise Malformed(
            f"Too few have settled “{titles[step]}” to tell: {events} in all, and {FEWEST_EVENTS} are needed."
        )
    found = compared(first, second)
    if found.chi_square is None or found.p is None:
        raise Malformed("There is nothing to compare: on one side nobody was at it when others settled.")
    one, other = (Side(label, entered(lot), ended(lot, "settled")) for label, lot in lots.items())
    return Comparison(step, titles[step], (one, other), found.chi_square, found.p, events)


def paces(context: Context, caller: Caller, group: str) -> tuple[str, ...]:
    """The paces of a group's course, in its order.

    Raises:
        Unknown: The group is not the caller's.
    """
    with context.store.coaching_reading() as reading:
        versions = courses_of(context, reading, group_of(reading, caller, group))
        return next((tuple(course.paces) for course in versions), ())


def _of_paces(context: Context, group: str, step: tuple[str, str], paces: tuple[str, ...]) -> Comparison:
    """Two paces of one group held against each other.

    Of either side no number is told: beside those of all together they would tell the few of the other one.
    The test is told in fewer places for the same reason.
    """
    if paces[0] == paces[1]:
        raise Malformed("These are the same pace. Choose two.")
    day = coach_day(context)
    with context.store.counting() as counting:
        rows = counting.paced(group, day, step[0])
    first, second = ([Count(*one[1:]) for one in rows if one.pace == pace] for pace in paces)
    if min(entered(first), entered(second)) < FEWEST:
        raise Malformed(NO_PACE.format(fewest=FEWEST))
    events = ended(first, "settled") + ended(second, "settled")
    if events < FEWEST_EVENTS:
        raise Malformed(f"Too few have settled “{step[1]}” to tell: {FEWEST_EVENTS} are needed.")
    found = compared(first, second)
    if found.chi_square is None or found.p is None:
        raise Malformed("There is nothing to compare: on one side nobody was at it when others settled.")
    one, other = (Side(pace, None, None) for pace in paces)
    told = TOLD_BY * (events // TOLD_BY)
    return Comparison(*step, (one, other), round(found.chi_square, 1), round(found.p, 2), told)


def _titles(context: Context, caller: Caller, group: str) -> Mapping[str, str]:
    with context.store.coaching_reading() as reading:
        return step_titles(context, reading, group_of(reading, caller, group))


def _lots(context: Context, caller: Caller, group: str, step: str, sides: Sides) -> dict[str, list[Count]]:
    if sides.versions:
        first, second = sides.versions
        if first == second:
            raise Malformed("These are the same version. Choose two.")
        return {
            f"Version {version[:8]}": _spells(context, group, step, version) for version in (first, second)
        }
    if sides.other == group:
        raise Malformed("This is the same group. Choose another.")
    with context.store.coaching_reading() as reading:
        names = [group_of(reading, caller, one).name for one in (group, sides.other)]
    labels = names if names[0] != names[1] else [f"{names[0]} (this one)", f"{names[1]} (the other)"]
    return {
        label: _spells(context, one, step, "")
        for label, one in zip(labels, (group, sides.other), strict=True)
    }


def _spells(context: Context, group: str, step: str, version: str) -> list[Count]:
    """What is told of a step's spells; of one whose settling is hidden nothing is to be compared."""
    day = coach_day(context)
    with context.store.counting() as counting:
        rows = counting.ended(group, day)
    parts = [
        one
        for one in known(context, group, rows, sunday_of(day))
        if one.part.step == step and version in {"", one.part.digest}
    ]
    return [] if numbers(parts).told["settled"] is None else counts_of(parts)
