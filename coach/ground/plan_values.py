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
    shopping    ID                   a line written on the shopping list, with its tick
    due         ID                   a due; due-done DATE/ID: that date of it seen to
    todo        ID                   a to-do, put off or an errand too; todo-done DATE/ID: done on that date
    picked      ""                   the put-off job picked for its next day
    opened      PAGE                 a page opened before the step that introduces it came
    taken       DATE/STEP            the member who takes the step's line on that date
    sheet       ""                   how the week sheet is wanted: paper, back page, what is left off
    few         DATE                 steps that "only a few" marked excused on it, and that still are
    handover    ID                   a page of the handover; handover-order "": the ids of all, in order
    note-away   DATE                 whether the coach's note of that date was put away
    forecast    DATE                 the forecast of that date: its range, and the steps it was about
"""

from __future__ import annotations

import json
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, TypeVar

from coach.course.shapes import UNREADABLE
from coach.errors import Malformed
from coach.ground.findings import value_left_out
from coach.ground.plan_rows import Asked

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
    from datetime import date

    from coach.ground.findings import Finding
    from coach.ground.plan_rows import PlanRow
    from coach.ground.ports import Reading
    from coach.ground.rows import SavedStanding

Result = TypeVar("Result")
Held = list[tuple[str, str]]
"""Keys with their values as JSON, in the order of their code points."""


class PlanValues:
    """What a transaction has read of the plan so far.

    Args:
        reading: The open transaction.

    Attributes:
        left_out: By kind and key, what could not be read and was left out.
    """

    def __init__(self, reading: Reading) -> None:
        self._reading = reading
        self.left_out: dict[tuple[str, str], Finding] = {}
        self._held: dict[Asked, Held] = {}
        self._saved: dict[tuple[str, date, str], SavedStanding | None] = {}
        self._worked_out: dict[Hashable, Any] = {}
        self._histories: dict[tuple[str, str], tuple[int, Sequence[PlanRow]]] = {}

    def fetch(self, asked: Iterable[Asked]) -> None:
        """Read all that is asked for and not known yet, in one statement."""
        unknown = [one for one in dict.fromkeys(asked) if self._known(one) is None]
        if unknown:
            self._held |= zip(unknown, self._reading.plans(unknown), strict=True)

    def read(
        self, what: str, parse: Callable[[str, Any], Result], first: str = "", last: str | None = None
    ) -> dict[str, Result]:
        """What holds now of one kind, of its keys from `first` to `last`, as `parse` makes it.

        What cannot be read is left out, and named in `left_out`.

        Args:
            what: The kind.
            parse: Given a key and its value out of JSON, what it is; it may raise `Malformed`, or what
                reading a value of another shape raises.
            first: The first key.
            last: The last one; none for all that follow.
        """
        found = {}
        for key, text in self._of(Asked(what, first, last)):
            with self._leaving_out(what, key):
                found[key] = parse(key, json.loads(text))
        return found

    def values(self, what: str, first: str = "", last: str | None = None) -> list[tuple[str, Any]]:
        """The same with the values as they come out of JSON."""
        return list(self.read(what, _as_it_is, first, last).items())

    def value(self, what: str, key: str = "") -> Any:  # noqa: ANN401  JSON, read by whoever knows the kind
        """What holds now for one key as it comes out of JSON; None if nothing does, or it cannot be read."""
        return self.read_one(what, key, _as_it_is)

    def read_keys(
        self, what: str, parse: Callable[[str], Result], first: str = "", last: str | None = None
    ) -> list[Result]:
        """The keys alone, as `parse` makes them, without those that cannot be read."""
        found = []
        for key in self.keys(what, first, last):
            with self._leaving_out(what, key):
                found.append(parse(key))
        return found

    def read_one(self, what: str, key: str, parse: Callable[[str, Any], Result]) -> Result | None:
        """What holds now for one key, as `parse` makes it; None if nothing does, or it cannot be read."""
        return self.read(what, parse, key, key).get(key)

    def read_row(self, row: PlanRow, parse: Callable[[PlanRow], Result]) -> Result | None:
        """What a row of a history says, as `parse` makes it; None, and named, if it cannot be read."""
        with self._leaving_out(row.what, row.key):
            return parse(row)
        return None

    @contextmanager
    def _leaving_out(self, what: str, key: str) -> Iterator[None]:
        try:
            yield
        except (*UNREADABLE, Malformed):
            self.left_out.setdefault((what, key), value_left_out(what, key))

    def keys(self, what: str, first: str = "", last: str | None = None) -> list[str]:
        """The keys alone."""
        return [key for key, _ in self._of(Asked(what, first, last))]

    def holds(self, what: str, key: str = "") -> bool:
        """Whether anything holds now for a key, readable or not."""
        return bool(self._of(Asked(what, key, key)))

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

    def anew(self) -> PlanValues:
        """The same with nothing read, where what is left out is named together."""
        other = PlanValues(self._reading)
        other.left_out = self.left_out
        return other

    def forget(self) -> None:
        """Forget what was read, since something was written."""
        self._held.clear()
        self._saved.clear()
        self._worked_out.clear()
        self._histories.clear()
        self.left_out.clear()

    def _of(self, asked: Asked) -> Held:
        self.fetch([asked])
        return self._known(asked) or []

    def _known(self, asked: Asked) -> Held | None:
        """What has been read already, as a part of something wider perhaps; None if it has not."""
        if asked in self._held:
            return self._held[asked]
        wider = next((one for one in self._held if one.covers(asked)), None)
        return None if wider is None else [pair for pair in self._held[wider] if asked.holds(pair[0])]


def _as_it_is(_key: str, value: Any) -> Any:  # noqa: ANN401  JSON of any shape
    return value
