"""By need: which area needs its turn most, and what weighs most in that (home rules)."""

from __future__ import annotations

from dataclasses import dataclass
from math import fsum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from datetime import date

    from coach.areas.rules.model import Area, DetailTask

UNSAID_DAYS = 90
"""The interval of a task that names none."""

MOST_RATIO = 3
"""From so many intervals on a task weighs no more, so that none outweighs the whole home for good."""

MOST_ROUNDS = 2
"""Of areas with equal lists none waits longer than so many weeks for each area of the home."""

DECIMALS = 9
"""Needs that are the same to so many decimals are equal."""


@dataclass(frozen=True, slots=True)
class Weight:
    """What weighs most in an area's need at the beginning of a week.

    Attributes:
        over: Days since its interval ran out; negative while it runs.
        done: Whether it was ever done.
    """

    task: DetailTask
    over: int
    done: bool


@dataclass(frozen=True, slots=True)
class History:
    """What need follows from: everything before a week's first day.

    Attributes:
        begun: The areas' start date.
        last_done: By task id, the latest date it was done on.
        last_turn: By area id, the number of the latest week in which it had its turn.
        counted: How many weeks have counted, and so the number of the next one.
    """

    begun: date
    last_done: Mapping[str, date]
    last_turn: Mapping[str, int]
    counted: int

    def latest_turn(self, areas: Sequence[Area], place: int) -> int:
        """The number of an area's latest turn; those that had none stand in line as if each had had one."""
        return self.last_turn.get(areas[place - 1].id, self.counted - len(areas) + place - 1)

    def waited(self, areas: Sequence[Area], place: int) -> int:
        """The weeks since an area's latest turn."""
        return self.counted - self.latest_turn(areas, place)


def interval(task: DetailTask) -> int:
    """The days after which a task is wanted again."""
    return UNSAID_DAYS if task.every_days is None else task.every_days


def days_since(task: DetailTask, history: History, week: date) -> int:
    """The days from the latest date a task was done to a week's first day.

    A task never done counts as if its interval had run out on the areas' start date.
    """
    last = history.last_done.get(task.id)
    return (week - last).days if last else max(0, (week - history.begun).days) + interval(task)


def weight(task: DetailTask, since: int) -> float:
    """Its minutes times its ratio, so many days after it was done."""
    return task.minutes * min(since / interval(task), MOST_RATIO)


def need(area: Area, history: History, week: date) -> float:
    """How much an area needs its turn: the weight of all its detail tasks."""
    return fsum(weight(task, days_since(task, history, week)) for task in area.detail)


def neediest(areas: Sequence[Area], history: History, week: date) -> int:
    """The position, from 1, of the area that needs a week most.

    It is not the one of the week before if there are others. Of equal ones it is the one whose last turn is
    longest ago, then the first in order. Where all lists are equal, an area that has waited twice as many
    weeks as there are areas comes before all others.
    """
    places = range(1, len(areas) + 1)
    starving = [place for place in places if is_starving(areas, history, place)]
    if starving:
        return longest_waiting(areas, history, starving)
    needs = {
        place: round(need(areas[place - 1], history, week), DECIMALS)
        for place in _but_the_last(areas, history)
    }
    greatest = max(needs.values())
    return longest_waiting(areas, history, [place for place, one in needs.items() if one == greatest])


def is_starving(areas: Sequence[Area], history: History, place: int) -> bool:
    """Whether an area has waited so long among others with the same list that it comes before them."""
    return history.waited(areas, place) >= MOST_ROUNDS * len(areas) and have_equal_lists(areas)


def have_equal_lists(areas: Sequence[Area]) -> bool:
    """Whether the areas' detail tasks have the same minutes and intervals, in whatever order."""
    lists = [sorted((task.minutes, interval(task)) for task in area.detail) for area in areas]
    return all(listed == lists[0] for listed in lists)


def longest_waiting(areas: Sequence[Area], history: History, among: Iterable[int]) -> int:
    """The position of the area, among some, whose last turn is longest ago; of equal ones the first."""
    return min(among, key=lambda place: (history.latest_turn(areas, place), place))


def _but_the_last(areas: Sequence[Area], history: History) -> list[int]:
    places = range(1, len(areas) + 1)
    others = [place for place in places if history.last_turn.get(areas[place - 1].id) != history.counted - 1]
    return others or list(places)


def heaviest(area: Area, history: History, week: date) -> Weight | None:
    """The task that weighs most in an area's need, the first of equal ones; None without tasks."""
    since = [(task, days_since(task, history, week)) for task in area.detail]
    if not since:
        return None
    task, days = max(since, key=lambda one: weight(*one))
    return Weight(task, days - interval(task), task.id in history.last_done)
