"""The plan of a household as a request reads it: each kind at most once, several kinds in one statement.

The plan is kept as rows of (kind, key, value as JSON); the last row of a key holds. The kinds and their keys:

    areas       ""                   the plan of the areas from the row's date on (`areas.rules.plan.Plan`)
    done        DATE/TASK            an area task done on that date
    available   WEEKDAY (MO..SU)     minutes available on it
    area-days   ""                   the weekdays on which area work is done
    job         STEP                 a weekday job's changed lines and its end
    tick        DATE/STEP/LINE       a line ticked or left, at the occurrence that opened on that date
    timer       DATE/STEP            the instant a job's timer was started
    moved       ""                   the rules of the jobs moved last, before and after, to undo it
    dinner      DATE                 that date's dinner
    favourite   ID                   a dish kept
    at-home     ITEM                 an ingredient ticked as at home or in the basket, for which dinners
    due         ID                   a due; due-done DATE/ID: that date of it settled
    todo        ID                   a to-do, put off or an errand too; todo-done DATE/ID: done on that date
    picked      ""                   the put-off job picked for its next day
    opened      PAGE                 a page opened before the step that introduces it came
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any, TypeVar

from coach.ground.ports import Asked

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable, Iterable, Sequence
    from datetime import date

    from coach.ground.ports import PlanRow, Reading, SavedStanding

Result = TypeVar("Result")
Held = list[tuple[str, str]]
"""Keys with their values as JSON, in the order of their code points."""


class PlanValues:
    """What a transaction has read of the plan so far.

    Args:
        reading: The open transaction.
    """

    def __init__(self, reading: Reading) -> None:
        self._reading = reading
        self._held: dict[Asked, Held] = {}
        self._saved: dict[tuple[str, date, str], SavedStanding | None] = {}
        self._worked_out: dict[Hashable, Any] = {}
        self._histories: dict[tuple[str, str], tuple[int, Sequence[PlanRow]]] = {}

    def fetch(self, asked: Iterable[Asked]) -> None:
        """Read all that is asked for and not known yet, in one statement."""
        unknown = [one for one in dict.fromkeys(asked) if self._known(one) is None]
        if unknown:
            self._held |= zip(unknown, self._reading.plans(unknown), strict=True)

    def values(self, what: str, first: str = "", last: str | None = None) -> list[tuple[str, Any]]:
        """What holds now of one kind, of its keys from `first` to `last`: keys with values out of JSON."""
        return [(key, json.loads(value)) for key, value in self._of(Asked(what, first, last))]

    def keys(self, what: str, first: str = "", last: str | None = None) -> list[str]:
        """The keys alone."""
        return [key for key, _ in self._of(Asked(what, first, last))]

    def value(self, what: str, key: str = "") -> Any:  # noqa: ANN401  JSON, read by whoever knows the kind
        """What holds now for one key; None if nothing does."""
        found = self._of(Asked(what, key, key))
        return json.loads(found[0][1]) if found else None

    def history(self, what: str, key: str, most: int) -> Sequence[PlanRow]:
        """The latest rows of one key, at most so many, the newest first."""
        asked, rows = self._histories.get((what, key), (0, ()))
        if asked < most and len(rows) == asked:
            rows = self._reading.plan_history(what, key, most)
            self._histories[what, key] = most, rows
        return rows[:most]

    def saved(self, name: str, before: date, digest: str) -> SavedStanding | None:
        """The latest saved fold of that name and digest whose `through` is earlier than `before`."""
        asked = name, before, digest
        if asked not in self._saved:
            self._saved[asked] = self._reading.saved_plan(name, before, digest)
        return self._saved[asked]

    def once(self, key: Hashable, work: Callable[[], Result]) -> Result:
        """What `work` makes of the plan, worked out once until something is written."""
        if key not in self._worked_out:
            self._worked_out[key] = work()
        result: Result = self._worked_out[key]
        return result

    def forget(self) -> None:
        """Forget what was read, since something was written."""
        self._held.clear()
        self._saved.clear()
        self._worked_out.clear()
        self._histories.clear()

    def _of(self, asked: Asked) -> Held:
        self.fetch([asked])
        return self._known(asked) or []

    def _known(self, asked: Asked) -> Held | None:
        """What has been read already, as a part of something wider perhaps; None if it has not."""
        if asked in self._held:
            return self._held[asked]
        wider = next((one for one in self._held if one.covers(asked)), None)
        return None if wider is None else [pair for pair in self._held[wider] if asked.holds(pair[0])]
