"""The plans of the areas as they are kept: the one that holds, those before it, and the way back.

Every change keeps the whole plan under the kind `areas`, dated on the day of the change, with what it was in
words, the number the next new task gets, and, where it took changes back, how far.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from itertools import islice
from typing import TYPE_CHECKING

from coach.areas.rules.plan import plan_from_values, plan_values
from coach.course.shapes import required, shape

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from coach.areas.rules.plan import Plan
    from coach.ground.plan_rows import PlanRow
    from coach.ground.situation import Situation

KIND = "areas"
FEW = 4
MOST_ROWS = 4096


_ROW = shape({"said": str, "next": int, "undid": int, "plan": (dict, None)})


@dataclass(frozen=True, slots=True)
class Kept:
    """One row of the areas.

    Attributes:
        plan: None where the set-up itself was taken back.
        said: What the change was, as a short sentence.
        next_task: The number of the next new task; it only grows, so that no mark meets another task.
        undid: How many rows before this one the row stands that it brought back; 0 for an ordinary change.
    """

    plan: Plan | None
    said: str = ""
    next_task: int = 1
    undid: int = 0


def kept_row(where: Situation, kept: Kept) -> PlanRow:
    """The row that keeps a plan from today on."""
    value = {
        "said": kept.said,
        "next": kept.next_task,
        "undid": kept.undid,
        "plan": plan_values(kept.plan) if kept.plan else None,
    }
    return where.row(KIND, "", value)


def _read(where: Situation, row: PlanRow) -> Kept | None:
    """What a row keeps; None if it cannot be read."""
    return where.plan.once((KIND, row), lambda: where.plan.read_row(row, _kept_of))


def _kept_of(row: PlanRow) -> Kept:
    if not row.value:
        return Kept(None)
    value = json.loads(row.value)
    required(value, _ROW)
    plan = plan_from_values(value["plan"], row.date) if value["plan"] else None
    return Kept(plan, value["said"], value["next"], value["undid"])


def kept(where: Situation) -> Kept:
    """What holds now; no plan where the areas are not set up.

    Where the latest row cannot be read, the one before it holds.
    """
    found = (_read(where, row) for row in _newest_first(where, 1))
    return next((one for one in found if one is not None), Kept(None))


def is_divided(where: Situation) -> bool:
    """Whether the home is divided into areas now."""
    return kept(where).plan is not None


def plans_after(where: Situation, through: date | None) -> tuple[Plan, ...]:
    """The plans that hold for the weeks after a date, by the date they were made on; none before the set-up.

    With None as the date they are all the plans since the set-up.
    """
    found: list[Plan] = []
    readable = (row for row in _newest_first(where) if _read(where, row) is not None)
    for row in _last_of_each_date(readable):
        kept = _read(where, row)
        if kept is None or kept.plan is None:
            break
        found.append(kept.plan)
        if through is not None and row.date <= through:
            break
    return tuple(reversed(found))


def _newest_first(where: Situation, first: int = FEW) -> Iterator[PlanRow]:
    """All rows; mostly one or two are looked at, so a few are asked for at first."""
    asked, seen = first, 0
    while True:
        rows = where.plan.history(KIND, "", asked)
        yield from rows[seen:]
        if len(rows) < asked or asked >= MOST_ROWS:
            return
        asked, seen = asked * FEW, len(rows)


def _last_of_each_date(rows: Iterator[PlanRow]) -> Iterator[PlanRow]:
    """The rows that ever held for a whole day: not those replaced on their date, or by a clock set back."""
    earliest: date | None = None
    for row in rows:
        if earliest is None or row.date < earliest:
            earliest = row.date
            yield row


def brought_back(where: Situation) -> Kept | None:
    """What undoing brings back: the state before the last change that still stands; None with none left.

    Undoing once more goes further back, and undoing after a new change takes back that change first.
    """
    rows = _undoing(where)
    if rows is None:
        return None
    newest, before = rows
    last, target = _read(where, newest), _read(where, before) if before else Kept(None)
    if last is None or target is None:
        return None
    return replace(target, next_task=last.next_task, undid=last.undid + 2 + target.undid)


def last_change(where: Situation) -> str:
    """Tells the change that undoing takes back, and what that brings back, from every other; empty: none."""
    newest, before = _undoing(where) or (None, None)
    return f"{newest.value if newest else ''}{before.value if before else ''}"


def _undoing(where: Situation) -> tuple[PlanRow, PlanRow | None] | None:
    """The row that undoing takes back and the one it brings back, if any; None with nothing left."""
    rows = _newest_first(where)
    newest, last = next(((row, kept) for row in rows if (kept := _read(where, row))), (None, None))
    if newest is None or last is None:
        return None
    before = list(islice(rows, last.undid + 1))
    if len(before) < last.undid:
        return None
    return newest, before[-1] if len(before) > last.undid else None
