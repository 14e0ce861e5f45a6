"""How long a course takes, exactly: its waiting steps one after the other, each by its own chain.

Left out are holds and lapses, and each due day is kept with the same chance, independently of all others.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from coach.course.recurrence import is_every_day
from coach.errors import Malformed
from coach.pace.distribution import one_after_the_other
from coach.pace.settling import MOST_STATES, SIMULATE, check_rule, settling
from coach.progress.paces import checked_pace
from coach.progress.ramp import ramp

if TYPE_CHECKING:
    from collections.abc import Mapping

    from coach.course.model import Course, Settles, Step
    from coach.pace.distribution import Distribution

QUANTILES = {"p10": 0.1, "p50": 0.5, "p80": 0.8, "p90": 0.9}


@dataclass(frozen=True, slots=True)
class StepPace:
    """A waiting step of a course.

    Attributes:
        step: Its id.
        mean: The mean days until it settles, from the day it comes; None where it never does.
    """

    step: str
    mean: float | None


@dataclass(frozen=True, slots=True)
class Exact:
    """The days a course takes until its last waiting step has settled.

    Attributes:
        days: Their distribution.
        mean: Their mean, the sum of the steps' means; None where it never ends.
        steps: The waiting steps in the order in which they come.
    """

    days: Distribution
    mean: float | None
    steps: tuple[StepPace, ...]

    def quantiles(self) -> dict[str, int | None]:
        """The smallest day by which the chance is each of `QUANTILES`; None beyond a hundred years."""
        return {name: self.days.quantile(chance) for name, chance in QUANTILES.items()}


def exact(course: Course, pace: str, adherence: float) -> Exact:
    """The days a course takes at a pace, begun with its first root.

    Args:
        course: Its waiting steps are daily and one is practised at a time.
        pace: One of its paces.
        adherence: The chance that a due day is kept, from 0 to 1.

    Raises:
        Malformed: An argument is out of range, or the course is one of which this cannot be said exactly.
    """
    return exact_of(rules_asked(course, pace), adherence)


def exact_of(asked: Mapping[str, Settles], adherence: float, most_states: int = MOST_STATES) -> Exact:
    """The days that steps take of which each comes when the one before has settled.

    Args:
        asked: What each of them asks for, as `rules_asked` gives it.
        adherence: The chance that a due day is kept, from 0 to 1.
        most_states: A rule whose chain has more is refused.

    Raises:
        Malformed: The adherence is no chance, or a rule cannot be followed exactly.
    """
    check_adherence(adherence)
    for rule in asked.values():
        check_rule(rule.kept, rule.of, most_states)
    known = {rule: settling(rule.kept, rule.of, adherence) for rule in set(asked.values())}
    parts = {step: known[rule] for step, rule in asked.items()}
    means = [part.mean for part in parts.values()]
    return Exact(
        days=one_after_the_other(list(parts.values())),
        mean=None if None in means else sum(mean for mean in means if mean is not None),
        steps=tuple(map(StepPace, parts, means)),
    )


def rules_asked(course: Course, pace: str) -> dict[str, Settles]:
    """What each waiting step asks for at a pace, in the order in which they come.

    Raises:
        Malformed: The course is one of which nothing can be said exactly, or has no such pace.
    """
    added = course.paces[checked_pace(pace, course.paces)]
    return {step.id: step.settles.at_pace(added) for step in in_turn(course, pace)}


def check_adherence(adherence: float) -> None:
    """Refuse what is no chance.

    Raises:
        Malformed: It lies outside 0 to 1, or is no number.
    """
    if not 0 <= adherence <= 1:
        raise Malformed(
            f"{adherence:g} is no chance of keeping a day. Write a number from 0 to 1, such as 0.8."
        )


def in_turn(course: Course, pace: str) -> list[Step]:
    """The waiting steps in the order in which they come, if nothing but the one before ever keeps one back.

    With everything kept the days of practice are fewest, so that other steps take the most turns away from
    waiting ones. If then every waiting step still comes on the day after the one before has settled, it
    always does, as long as other steps that could come before it depend on waiting ones alone.

    Raises:
        Malformed: Something else may keep one back; the reason names it.
    """
    waiting = [step for step in course.steps if step.waits]
    if not waiting:
        raise Malformed("No step of this course waits to settle, so there is nothing to reckon.")
    _check_each(course, waiting)
    added = course.paces[pace]
    shortest = sum(step.settles.kept + added for step in waiting)
    settled = ramp(course, "", pace, shortest).settled
    late = [step.id for step in waiting if settled.get(step.id, shortest + 1) > shortest]
    if late:
        raise Malformed(
            f"With everything kept “{late[0]}” settles later than its turn: steps that do not wait, or that "
            f"it comes after, keep it back. How long such a course takes cannot be said exactly. {SIMULATE}"
        )
    return sorted(waiting, key=lambda step: settled[step.id])


def _check_each(course: Course, waiting: list[Step]) -> None:
    if course.at_once != 1:
        raise Malformed(
            f"This course lets {course.at_once} waiting steps be practised at a time (at_once), and how long "
            f"it takes then cannot be said exactly. {SIMULATE}"
        )
    names = {step.id for step in waiting}
    for step in waiting:
        if not is_every_day(step.repeats):
            raise Malformed(
                f"“{step.id}” waits and does not fall every day; how long such a course takes cannot be said "
                f"exactly. {SIMULATE}"
            )
    last = max(number for number, step in enumerate(course.steps) if step.waits)
    for step in course.steps[: last + 1]:
        others = [name for name in (*step.after, *step.after_any) if name not in names]
        if others:
            raise Malformed(
                f"“{step.id}” comes after “{others[0]}”, which does not wait; how long such a course takes "
                f"cannot be said exactly. {SIMULATE}"
            )
