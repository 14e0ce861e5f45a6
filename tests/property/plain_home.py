"""A second reading of the area rotation and the passes (home rules), written apart and as plainly as it goes.

Areas are numbers, tasks are tables, days are walked one by one, and nothing is kept between two questions. It
covers one plan that never changes; what happens when plans change is told in tests/home.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

Task = dict[str, Any]
Home = dict[str, Any]
"""Keys: areas (a list of lists of tasks), mode, week_starts, start, first, minutes, way, spot."""


def week_containing(home: Home, day: date) -> list[date]:
    """The seven dates of the week, found by walking back to the day it begins on."""
    name = {"monday": 0, "sunday": 6}[home["week_starts"]]
    while day.weekday() != name:
        day -= timedelta(days=1)
    return [day + timedelta(days=n) for n in range(7)]


def weeks_of_same_month(home: Home, week: list[date]) -> list[list[date]]:
    """Every week whose fourth day lies in the month of this week's fourth day."""
    month = (week[3].year, week[3].month)
    nearby = [week_containing(home, week[0] + timedelta(days=7 * n)) for n in range(-6, 7)]
    return [other for other in nearby if (other[3].year, other[3].month) == month]


def month_turn(home: Home, week: list[date]) -> tuple[list[int], list[int], bool]:
    """Areas, minutes and whether it is a catch-up week, by month."""
    weeks = weeks_of_same_month(home, week)
    w, last, n = weeks.index(week) + 1, len(weeks), len(home["areas"])
    if w > n:
        return [], [], True
    if n > last and w == last:
        areas = list(range(last, n + 1))
        minutes = [0] * len(areas)
        for _ in range(home["minutes"] // len(areas)):
            minutes = [one + 1 for one in minutes]
        minutes[0] += home["minutes"] - sum(minutes)
        return areas, minutes, False
    return [w], [home["minutes"]], False


def turns(home: Home, weeks: int, away: set[date]) -> list[tuple[list[date], list[int], list[int], bool]]:
    """The turns of so many weeks from the start on: the week, areas, minutes, whether to catch up."""
    found = []
    week = week_containing(home, home["start"])
    area = home["first"]
    for _ in range(weeks):
        if home["mode"] == "month":
            found.append((week, *month_turn(home, week)))
        else:
            found.append((week, [area], [home["minutes"]], False))
            if any(day not in away for day in week):
                area = 1 if area == len(home["areas"]) else area + 1
        week = [day + timedelta(days=7) for day in week]
    return found


def last_done(done: dict[date, list[str]], task: Task, before: date) -> date | None:
    days = [day for day in done if day < before and task["id"] in done[day]]
    return max(days) if days else None


def may_be_done(done: dict[date, list[str]], task: Task, week: list[date]) -> bool:
    """Whether its days have run out by the last day of the week, as it stands when the week opens."""
    latest = last_done(done, task, week[0])
    if latest is None or task["every"] is None:
        return True
    return bool((week[6] - latest).days >= task["every"])


def left(home: Home, done: dict[date, list[str]], area: int, since: date, week: list[date]) -> list[Task]:
    """The tasks of an area not done from `since` to before the week, that may be done in it."""
    tasks = []
    for task in home["areas"][area - 1]:
        latest = last_done(done, task, week[0])
        if (latest is None or latest < since) and may_be_done(done, task, week):
            tasks.append(task)
    return tasks


def packed(tasks: list[Task], minutes: int) -> list[Task]:
    listed: list[Task] = []
    for task in tasks:
        if listed and sum(one["minutes"] for one in listed) + task["minutes"] > minutes:
            break
        listed.append(task)
        if task["minutes"] > minutes:
            break
    return listed


def lists(home: Home, done: dict[date, list[str]], weeks: int, away: set[date]) -> list[list[dict[str, Any]]]:
    """For each week, the lists of its areas as the week opens."""
    pass_since = dict.fromkeys(range(1, len(home["areas"]) + 1), date.min)
    found = []
    for week, areas, minutes, catch_up in turns(home, weeks, away):
        shares = list(zip(areas, minutes, strict=True))
        if catch_up:
            shares = [(neediest(home, done, pass_since, week), home["minutes"])]
        shown = []
        for area, share in shares:
            shown.append(list_of(home, done, pass_since, week, area, share))
        found.append(shown)
    return found


def list_of(
    home: Home,
    done: dict[date, list[str]],
    pass_since: dict[int, date],
    week: list[date],
    area: int,
    share: int,
) -> dict[str, Any]:
    """The lists of one area as its week opens."""
    tasks = left(home, done, area, pass_since[area], week)
    if not any(home["way"] != "spot" or task["minutes"] <= home["spot"] for task in tasks):
        pass_since[area] = week[0]
        tasks = left(home, done, area, week[0], week)
    listed = packed(tasks, share)
    return {
        "area": area,
        "minutes": share,
        "listed": [task["id"] for task in listed],
        "if_time": [task["id"] for task in tasks[len(listed) :]],
    }


def neediest(home: Home, done: dict[date, list[str]], pass_since: dict[int, date], week: list[date]) -> int:
    """The area with the most minutes left; a later one only if it has more."""
    best, most = 0, -1
    for area, since in pass_since.items():
        minutes = sum(task["minutes"] for task in left(home, done, area, since, week))
        if minutes > most:
            best, most = area, minutes
    return best


def spot(
    home: Home, done: dict[date, list[str]], lists_of_week: list[dict[str, Any]], day: date
) -> str | None:
    """The spot task of a day, given the week's lists as it opened."""
    tasks = {task["id"]: task for area in home["areas"] for task in area}
    first = week_containing(home, day)[0]
    for shown in lists_of_week:
        for task_id in shown["listed"] + shown["if_time"]:
            task = tasks[task_id]
            marked = [one for one in done if first <= one < day and task_id in done[one]]
            latest = last_done(done, task, first)
            waits = latest is not None and task["every"] is not None and (day - latest).days < task["every"]
            if task["minutes"] <= home["spot"] and not marked and not waits:
                return str(task_id)
    return None
