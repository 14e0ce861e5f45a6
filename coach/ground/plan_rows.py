"""Rows of the plan as a store keeps them, and how they are asked for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from datetime import date, datetime


@dataclass(frozen=True, slots=True)
class PlanRow:
    """One row of the plan: from when it is written on, a key of its kind has this value.

    Attributes:
        date: The household day on which it was decided.
        what: The kind: areas, done, dinner, to-do ...
        key: What it is about, unique within its kind; a kind whose things belong to dates has keys that
            begin with the ISO date.
        value: JSON, or empty to take the value away.
    """

    date: date
    what: str
    key: str
    value: str


class PlannedRow(NamedTuple):
    """A row of the plan with everything that is kept beside it.

    Attributes:
        row: The row.
        at: The instant of writing, aware.
        by: The person who wrote it; empty: the household alone.
    """

    row: PlanRow
    at: datetime
    by: str = ""


class Asked(NamedTuple):
    """Keys of one kind of the plan, from the first to the last; without a last one, all that follow."""

    what: str
    first: str = ""
    last: str | None = None

    def holds(self, key: str) -> bool:
        """Whether a key is among them."""
        return self.first <= key and (self.last is None or key <= self.last)

    def covers(self, other: Asked) -> bool:
        """Whether all keys of the other are among these."""
        ends = self.last is None or (other.last is not None and other.last <= self.last)
        return self.what == other.what and self.first <= other.first and ends


def dated_keys(first: date, last: date) -> tuple[str, str]:
    """The bounds that take in every key beginning with a date from `first` to `last`.

    They go into `Asked`, as in `Asked("dinner", *dated_keys(monday, sunday))`.
    """
    # The last code point is no character, so it stands after whatever follows the date.
    return first.isoformat(), f"{last.isoformat()}\U0010ffff"
