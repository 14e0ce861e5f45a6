"""The household's settings: its zone, the hour its day begins, and its ceiling of minutes."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from coach.areas.passes import keep_passes
from coach.areas.turns import rearranged_rows
from coach.course.definition import MINUTES_A_DAY
from coach.course.digits import whole_number
from coach.errors import Malformed
from coach.ground.situation import looking
from coach.ground.weeks import WeekStart
from coach.ground.writing import Decision, written
from coach.household.answers import Settings
from coach.progress.days import checked_zone, hour_of, zone_names
from coach.progress.log import Row, What

if TYPE_CHECKING:
    from datetime import date

    from coach.ground.ports import Context
    from coach.ground.situation import Situation


def settings(context: Context, household: str) -> Settings:
    """The settings in force.

    Raises:
        NotStarted: The household has not chosen its first step.
    """
    with looking(context, household) as where:
        return settings_in(where)


def change(
    context: Context,
    household: str,
    zone: str | None = None,
    day_starts: str | None = None,
    minutes: int | str | None = None,
) -> Settings:
    """Change settings from today on; days already in the log keep their dates.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        zone: IANA name; None leaves it.
        day_starts: HH:MM; None leaves it.
        minutes: Most minutes a day for waiting steps; blank for no ceiling; None leaves it.

    Raises:
        NotStarted: The household has not chosen its first step.
        Malformed: A value cannot be read.
    """

    def decide(where: Situation) -> Decision[None]:
        new_zone = checked_zone(zone) if zone is not None else where.home.zone
        hour = hour_of(day_starts) if day_starts is not None else where.home.day_starts
        on = _last_word(where)
        rows = [Row(on, What.ZONE, value=new_zone)] if new_zone != where.home.zone else []
        if hour != where.home.day_starts:
            rows.append(Row(on, What.DAY_STARTS, value=f"{hour:%H:%M}"))
        if minutes is not None and (ceiling := _ceiling(minutes)) != where.standing.ceiling:
            rows.append(Row(where.today, What.MINUTES, value="" if ceiling is None else str(ceiling)))
        return Decision(None, log=rows, home=replace(where.home, zone=new_zone, day_starts=hour))

    return written(context, household, decide, lambda where, _: settings_in(where))


def begin_weeks_on(context: Context, household: str, week_starts: str) -> Settings:
    """Let the household's weeks begin on `monday` or `sunday`, from this week on; the areas keep their turns.

    Raises:
        NotStarted: The household has not chosen its first step.
        Malformed: Weeks begin on no other day.
    """
    if week_starts not in set(WeekStart):
        raise Malformed(f"“{week_starts}” is no day a week can begin on. Choose monday or sunday.")

    def decide(where: Situation) -> Decision[None]:
        home = replace(where.home, week_starts=week_starts)
        rows = rearranged_rows(replace(where, home=home))
        return Decision(None, plan=rows, home=home, then=keep_passes)

    return written(context, household, decide, lambda where, _: settings_in(where))


def _last_word(where: Situation) -> date:
    """Today, or the date of an earlier change made where it was later already: the last word must hold."""
    kinds = {What.ZONE, What.DAY_STARTS}
    return max([where.today, *(row.date for row in where.book.decisions if row.what in kinds)])


def _ceiling(minutes: int | str) -> int | None:
    text = str(minutes).strip()
    if not text:
        return None
    ceiling = whole_number(text, MINUTES_A_DAY)
    if ceiling is None:
        raise Malformed(
            f"“{text}” is no number of minutes from 0 to {MINUTES_A_DAY}. Leave it blank for no ceiling."
        )
    return ceiling


def settings_in(where: Situation) -> Settings:
    """The settings in force, out of a situation."""
    return Settings(
        zone=where.home.zone,
        day_starts=f"{where.home.day_starts:%H:%M}",
        minutes=where.standing.ceiling,
        pace=where.standing.pace,
        zones=zone_names(),
        week_starts=where.home.week_starts,
    )
