"""The household's log: append-only rows of what was marked and decided, each for one date."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from datetime import date


class Mark(StrEnum):
    """What a household logged for a step on a date; `small` counts as kept everywhere."""

    KEPT = "kept"
    SMALL = "small"
    MISSED = "missed"
    EXCUSED = "excused"


class What(StrEnum):
    """What a row of the log says (rules §4)."""

    START = "start"
    KEPT = "kept"
    SMALL = "small"
    MISSED = "missed"
    EXCUSED = "excused"
    CLEAR = "clear"
    PAUSE = "pause"
    RESUME = "resume"
    SET_ASIDE = "set-aside"
    RESTORE = "restore"
    NEXT = "next"
    MINUTES = "minutes"
    PACE = "pace"
    ZONE = "zone"
    DAY_STARTS = "day-starts"
    ADD = "add"
    ADJUST = "adjust"


MOST_OWN_STEPS = 100
"""How many steps a household can add: each is looked at for every day and on every page."""
MARKING = frozenset({What.KEPT, What.SMALL, What.MISSED, What.EXCUSED, What.CLEAR})
TOLD = frozenset({What.KEPT, What.SMALL, What.MISSED})
"""Marks that tell how a line went; an excused one tells nothing of it."""


@dataclass(frozen=True, slots=True)
class Row:
    """One row of the log; `step` and `value` are empty where the kind of row has none."""

    date: date
    what: What
    step: str = ""
    value: str = ""


_MARK_OF = {What(mark): mark for mark in Mark}


def last_marks(
    rows: Iterable[Row], before: Mapping[date, Mapping[str, Mark | None]] | None = None
) -> dict[date, dict[str, Mark | None]]:
    """For each date and step what the last row written says: a mark, or None where it takes one back.

    Of a date the step written last comes last, since two ids may turn out to be one step's.

    Args:
        rows: In the order written.
        before: What held before these rows.
    """
    old = before or {}
    last: dict[date, dict[str, Mark | None]] = {}
    for row in rows:
        what = row.what
        mark = _MARK_OF.get(what)
        if mark is None and what is not What.CLEAR:
            continue
        day = last.get(row.date)
        if day is None:
            day = last[row.date] = dict(old.get(row.date, {}))
        day.pop(row.step, None)
        day[row.step] = mark
    return {**old, **last} if old else last  # type: ignore[dict-item]  # days are copied before they change


def marks_by_date(rows: Iterable[Row]) -> dict[date, dict[str, Mark]]:
    """The marks that hold: for each date and step the last row written, unless it takes the mark back."""
    return {
        day: {step: mark for step, mark in held.items() if mark is not None}
        for day, held in last_marks(rows).items()
    }
