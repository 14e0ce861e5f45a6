"""The lists of the areas for any week: one gone by, this one, or one to come as it will be."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from coach.areas.passes import AreaNow, area_now
from coach.areas.rules.forecast import forecast
from coach.areas.wording import turn_text
from coach.ground.weeks import DAYS_IN_WEEK, last_day

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from coach.areas.rules.passes import AreaWeek, Opening
    from coach.ground.situation import Situation

WEEKS_AHEAD = 13
"""Weeks ahead of which the lists are told; what is done until then changes them the more, the later."""

AS_IT_WILL_BE = "As it will be if the lists until then are done."


@dataclass(frozen=True, slots=True)
class AreaLists:
    """The areas of a week with their lists.

    Attributes:
        areas: Each with its place in the order of the areas, from 1.
        done: The tasks marked done in the week, by id, each with its latest date.
        text: Why the week is as it is, where that needs a word; else empty.
    """

    areas: tuple[tuple[int, AreaWeek], ...]
    done: Mapping[str, date]
    text: str


def lists_in(where: Situation, week: date) -> AreaLists | None:
    """The lists of the week that begins on a date.

    Returns:
        None where the home is not divided into areas, and for a week too far ahead to tell.
    """
    now = area_now(where, min(last_day(week), where.today))
    if now is None:
        return None
    ahead = (week - now.opening.week).days // DAYS_IN_WEEK
    if ahead <= 0:
        return _lists(now.opening, now.done)
    return _coming(now, ahead) if ahead <= WEEKS_AHEAD else None


def _coming(now: AreaNow, ahead: int) -> AreaLists:
    *_, opening = forecast(now.passes, now.book, ahead + 1)
    return _lists(opening, {}, AS_IT_WILL_BE if opening.areas else "")


def _lists(opening: Opening, done: Mapping[str, date], beside: str = "") -> AreaLists:
    home = opening.plan.areas
    areas = tuple((home.index(one.area) + 1, one) for one in opening.areas)
    text = turn_text(opening.plan, opening.turn)
    return AreaLists(areas, done, " ".join(filter(None, [text, beside])))
