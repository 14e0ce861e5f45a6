"""The household's settings: its zone, when its day and week begin, its ceiling of minutes and its pace."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, TypedDict, Unpack

from coach.areas.passes import keep_passes
from coach.areas.turns import rearranged_rows
from coach.course.definition import MINUTES_A_DAY
from coach.course.digits import whole_number
from coach.errors import Malformed
from coach.ground.situation import looking
from coach.ground.weeks import WeekStart
from coach.ground.writing import Decision, written
from coach.household.answers import Settings
from coach.household.pace import choices_in, pace_rows
from coach.progress.days import checked_zone, hour_of, known_zone, zone_names
from coach.progress.log import Row, What

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from coach.ground.ports import Context, Household
    from coach.ground.situation import Situation


def settings(context: Context, household: str) -> Settings:
    """The settings in force.

    Raises:
        NotStarted: The household has not chosen its first step.
    """
    with looking(context, household) as where:
        return settings_in(where)


class Changes(TypedDict, total=False):
    """What can be changed; what is left out or None stays.

    Attributes:
        zone: IANA name.
        day_starts: HH:MM.
        minutes: Most minutes a day for waiting steps; blank for no ceiling.
        week_starts: `monday` or `sunday`.
        pace: A pace of the course.
    """

    zone: str | None
    day_starts: str | None
    minutes: int | str | None
    week_starts: str | None
    pace: str | None


def change(context: Context, household: str, **changes: Unpack[Changes]) -> Settings:
    """Change settings from today on, all or none; days already in the log keep their dates.

    When weeks begin on another day they do so from this week on, and the areas keep their turns.

    Raises:
        NotStarted: The household has not chosen its first step.
        Malformed: A value cannot be read.
    """
    week_starts = changes.get("week_starts")

    def decide(where: Situation) -> Decision[None]:
        home = _changed_home(where.home, changes.get("zone"), changes.get("day_starts"))
        rows = [*_moves(where, home), *_choices(where, changes)]
        if week_starts is None:
            return Decision(None, log=rows, home=home)
        home = replace(home, week_starts=_checked_start(week_starts))
        turns = rearranged_rows(replace(where, home=home))
        return Decision(None, log=rows, plan=turns, home=home, then=keep_passes)

    return written(context, household, decide, lambda where, _: settings_in(where))


def _choices(where: Situation, changes: Changes) -> Iterator[Row]:
    """The rows of the log that say the minutes and the pace, as far as they change."""
    minutes, pace = changes.get("minutes"), changes.get("pace")
    if minutes is not None and (ceiling := _ceiling(minutes)) != where.standing.ceiling:
        yield Row(where.today, What.MINUTES, value="" if ceiling is None else str(ceiling))
    if pace is not None:
        yield from pace_rows(where, pace)


def _changed_home(home: Household, zone: str | None, day_starts: str | None) -> Household:
    """The household's own row with another zone or hour, as far as they are given."""
    new_zone = home.zone if zone is None else checked_zone(zone)
    hour = home.day_starts if day_starts is None else hour_of(day_starts)
    return replace(home, zone=new_zone, day_starts=hour)


def _moves(where: Situation, home: Household) -> list[Row]:
    """The rows of the log that say the zone and the hour, as far as they change."""
    on, before = _last_word(where), where.home
    rows = [Row(on, What.ZONE, value=home.zone)] if home.zone != before.zone else []
    if home.day_starts != before.day_starts:
        rows.append(Row(on, What.DAY_STARTS, value=f"{home.day_starts:%H:%M}"))
    return rows


def _checked_start(week_starts: str) -> str:
    if week_starts not in set(WeekStart):
        raise Malformed(f"“{week_starts}” is no day a week can begin on. Choose monday or sunday.")
    return week_starts


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
        zone=known_zone(where.home.zone),
        day_starts=f"{where.home.day_starts:%H:%M}",
        minutes=where.standing.ceiling,
        pace=where.standing.pace,
        paces=choices_in(where.standing.course),
        zones=zone_names(),
        week_starts=where.home.week_starts,
    )
