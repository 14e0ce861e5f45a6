"""The minutes a household has on each weekday."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.course.rule import WEEKDAYS
from coach.errors import Malformed
from coach.ground.situation import looking
from coach.ground.writing import Decision, to_plan, written
from coach.week.answers import Available
from coach.week.facts import AVAILABLE, by_weekday, minutes_available
from coach.week.rules.load import checked_available

if TYPE_CHECKING:
    from collections.abc import Mapping

    from coach.ground.ports import Context
    from coach.ground.situation import Situation


def available(context: Context, household: str) -> Available:
    """The minutes available by weekday.

    Raises:
        NotStarted: The household has not chosen its first step.
    """
    with looking(context, household) as where:
        return available_in(where)


def available_in(where: Situation) -> Available:
    """The minutes available by weekday, out of a situation."""
    return Available(by_weekday(minutes_available(where)))


def set_available(context: Context, household: str, minutes: Mapping[str, int | None]) -> Available:
    """Say how many minutes there are on weekdays; those not named stay, None takes a number away.

    Raises:
        NotStarted: The household has not chosen its first step.
        Malformed: There is no such weekday, or no such number of minutes.
    """
    for weekday in minutes:
        if weekday not in WEEKDAYS:
            raise Malformed(
                f"“{weekday[:20]}” is no weekday. Write {', '.join(WEEKDAYS[:-1])} or {WEEKDAYS[-1]}."
            )
    said = {WEEKDAYS.index(day): number for day, number in minutes.items() if number is not None}
    checked_available(said)

    def decide(where: Situation) -> Decision[None]:
        known = minutes_available(where)
        return to_plan(
            [
                where.row(AVAILABLE, day, number)
                for day, number in minutes.items()
                if known.get(WEEKDAYS.index(day)) != number
            ]
        )

    return written(context, household, decide, lambda where, _: available_in(where))
