"""A second reading of the rotation by need (home rules), from its words alone, with fractions and no folding.

Of every week it is asked anew what was done before its first day. A home is that of `plain_home`; its
areas' start date is its `start`.
"""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction
from typing import Any

from property.plain_home import Home, Task, last_done, list_of, week_containing

Done = dict[date, list[str]]


def ratio(home: Home, done: Done, task: Task, first_day: date) -> Fraction:
    """Days since the task was last done, over its interval; at most 3."""
    interval = task["every"] or 90
    latest = last_done(done, task, first_day)
    if latest is not None:
        days = (first_day - latest).days
    else:
        days = max((first_day - home["start"]).days, 0) + interval
    return min(Fraction(days, interval), Fraction(3))


def need(home: Home, done: Done, area: int, first_day: date) -> Fraction:
    parts = [task["minutes"] * ratio(home, done, task, first_day) for task in home["areas"][area - 1]]
    return round(sum(parts, Fraction(0)), 9)


def kinds(home: Home, area: int) -> list[tuple[int, int]]:
    """What tasks an area has, in minutes and days."""
    return sorted((task["minutes"], task["every"] or 90) for task in home["areas"][area - 1])


def chosen(home: Home, done: Done, history: list[int], first_day: date) -> int:
    """The area of a week, after the areas of all weeks before it that counted."""
    areas = list(range(1, len(home["areas"]) + 1))
    # As if each had had its turn, in order, before the start: then every area has a latest turn.
    line = areas + history
    waited = {area: line[::-1].index(area) for area in areas}
    if all(kinds(home, area) == kinds(home, 1) for area in areas):
        for area in areas:
            if waited[area] + 1 >= 2 * len(areas):
                return area
    others = [area for area in areas if not history or area != history[-1]] or areas
    needs = {area: need(home, done, area, first_day) for area in others}
    equal = [area for area in others if needs[area] == max(needs.values())]
    return max(equal, key=lambda area: waited[area])


def lists(home: Home, done: Done, weeks: int, away: set[date]) -> list[list[dict[str, Any]]]:
    """For each week, the lists of its area as the week opens."""
    return _walk(home, done, weeks, weeks, away)


def forecast(home: Home, done: Done, lived: int, weeks: int, away: set[date]) -> list[list[dict[str, Any]]]:
    """The lists of so many weeks after those lived, if everything listed from then on is done."""
    return _walk(home, dict(done), lived, lived + weeks, away)[lived:]


def _walk(home: Home, done: Done, lived: int, weeks: int, away: set[date]) -> list[list[dict[str, Any]]]:
    pass_since = dict.fromkeys(range(1, len(home["areas"]) + 1), date.min)
    week, history, found = week_containing(home, home["start"]), list[int](), []
    for number in range(weeks):
        area = chosen(home, done, history, week[0])
        shown = list_of(home, done, pass_since, week, area, home["minutes"])
        found.append([shown])
        if any(day not in away for day in week):
            history.append(area)
            if number >= lived:
                marked = [task for day in week for task in done.get(day, [])]
                more = [task for task in shown["listed"] if task not in marked]
                done[week[6]] = [*done.get(week[6], []), *more]
        week = [day + timedelta(days=7) for day in week]
    return found
