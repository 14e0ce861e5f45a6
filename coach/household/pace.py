"""The household's pace: what it may choose, what each means, and the choice, which holds from today on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.course.placeholders import pace_words, settling_words, usual_settles
from coach.ground.situation import looking
from coach.ground.writing import to_log, written
from coach.household.answers import Pace, PaceChoice
from coach.progress.log import Row, What
from coach.progress.paces import checked_pace

if TYPE_CHECKING:
    from coach.course.model import Course
    from coach.ground.ports import Context
    from coach.ground.situation import Situation
    from coach.ground.writing import Decision


def pace(context: Context, household: str) -> Pace:
    """The pace in force, and those of the course.

    Raises:
        NotStarted: The household has not chosen its first step.
    """
    with looking(context, household) as where:
        return pace_in(where)


def pace_in(where: Situation) -> Pace:
    """The pace in force and those of the course, out of a situation."""
    return Pace(where.standing.pace, choices_in(where.standing.course))


def choices_in(course: Course) -> tuple[PaceChoice, ...]:
    """The paces of a course, each with what it means."""
    comes, settles = pace_words(course), settling_words(course)
    rules = {name: usual_settles(course).at_pace(added) for name, added in course.paces.items()}
    return tuple(
        PaceChoice(name, rule.kept, rule.of, f"{settles[name]} {comes[name]}") for name, rule in rules.items()
    )


def choose(context: Context, household: str, name: str) -> Pace:
    """Go at another pace from today on; what has settled stays settled.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        name: A pace of the course.

    Raises:
        NotStarted: The household has not chosen its first step.
        Malformed: The course has no such pace.
    """

    def decide(where: Situation) -> Decision[None]:
        return to_log(pace_rows(where, name))

    return written(context, household, decide, lambda where, _: pace_in(where))


def pace_rows(where: Situation, name: str) -> list[Row]:
    """The row of the log that says another pace; none for the one in force.

    Raises:
        Malformed: The course has no such pace.
    """
    checked_pace(name, where.standing.course.paces)
    return [] if name == where.standing.pace else [Row(where.today, What.PACE, value=name)]
