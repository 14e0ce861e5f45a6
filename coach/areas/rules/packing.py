"""Packing: how much of a list fits into a week, and what of it may be done by then (home rules)."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping, Sequence

    from coach.areas.rules.model import DetailTask


@dataclass(frozen=True, slots=True)
class LeftTask:
    """A task not yet done in the pass.

    Attributes:
        ready: The date its `every_days` has run out, if it has any and was done before.
    """

    task: DetailTask
    ready: date | None = None

    def is_ready(self, day: date) -> bool:
        """Whether it may be done on a day."""
        return self.ready is None or self.ready <= day


def fitting(minutes: Sequence[int], most: int) -> int:
    """How many tasks from the front fit, until the next one does not; a longer first one stands alone."""
    total = 0
    for count, taken in enumerate(minutes):
        total += taken
        if total > most:
            return max(count, 1)
    return len(minutes)


def visits(minutes: Sequence[int], most: int) -> int:
    """How many weeks a whole list takes, if in each all that fits is done."""
    left, taken = list(minutes), 0
    while left:
        left = left[fitting(left, most) :]
        taken += 1
    return taken


def left_in_pass(
    tasks: Iterable[DetailTask], in_pass: Collection[str], last_done: Mapping[str, date]
) -> tuple[LeftTask, ...]:
    """The tasks not yet done in the pass, in order, each with the date from which it may be done."""
    return tuple(
        LeftTask(task, _ready(task, last_done.get(task.id))) for task in tasks if task.id not in in_pass
    )


def _ready(task: DetailTask, done: date | None) -> date | None:
    if task.every_days is None or done is None:
        return None
    days = min(task.every_days, (date.max - done).days)
    return done + timedelta(days=days)


def total(left: Iterable[LeftTask]) -> int:
    """Their minutes together."""
    return sum(one.task.minutes for one in left)
