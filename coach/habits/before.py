"""The days before today that can still be filled in, all at once, and a tap on one of their boxes."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import timedelta
from hashlib import sha256
from typing import TYPE_CHECKING

from coach.ground.situation import EDITABLE_DAYS
from coach.habits.gone_by import Box, Column, DaysBefore, GridLine
from coach.habits.hands import ONLINE, Tap
from coach.habits.marks import Marking, marked
from coach.habits.signatures import is_several
from coach.progress.days import ONE_DAY
from coach.progress.opening import SLOT_ORDER, Phase

if TYPE_CHECKING:
    from datetime import date

    from coach.ground.ports import Context
    from coach.ground.situation import Situation
    from coach.progress.opening import Opening
    from coach.progress.state import State

SHAPE_LENGTH = 16
"""Hexadecimal digits of a grid's shape; two shapes of one household do not meet by chance."""

AWAY = frozenset({Phase.PAUSED, Phase.LAPSED})
"""On a day of these nothing was due."""


def days_before_in(where: Situation) -> DaysBefore:
    """The household days of the last week before today, with the lines that were on their lists."""
    sheet = _Sheet()
    first = max(where.state.started, where.today - timedelta(days=EDITABLE_DAYS))
    for opening, state in where.closed(first, where.today - ONE_DAY):
        sheet.take(opening, state)
    return sheet.done(where.home.version, several=is_several(where))


def keep(context: Context, household: str, on: date, step: str, tap: Tap = ONLINE) -> DaysBefore:
    """Mark a line of a day as kept, and give the days as they then stand.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such step, or the date never happened.
        NotEditable: The date cannot be changed.
        Newer: Another one's newer mark stands there.
    """
    return marked(context, household, Marking(on, step, "kept", tap), days_before_in)


def take_back(context: Context, household: str, on: date, step: str, tap: Tap = ONLINE) -> DaysBefore:
    """Take the mark of a line back, whichever it is; the errors are those of `keep`."""
    return marked(context, household, Marking(on, step, None, tap), days_before_in)


@dataclass
class _Sheet:
    """The grid as it is written down, day by day.

    Attributes:
        columns: The days so far.
        boxes: By step, its boxes by date.
        told: By step, its place in a checklist and its title, as they were when it was last due.
    """

    columns: list[Column] = field(default_factory=list)
    boxes: dict[str, dict[date, Box]] = field(default_factory=dict)
    told: dict[str, tuple[int, int, str]] = field(default_factory=dict)

    def take(self, opening: Opening, state: State) -> None:
        """Write a day down."""
        self.columns.append(Column(opening.date, opening.phase in AWAY))
        for step_id in opening.checklist:
            record, mark = state.records[step_id], opening.marks.get(step_id)
            box = Box(opening.date, mark.value if mark else None)
            self.boxes.setdefault(step_id, {})[opening.date] = box
            self.told[step_id] = SLOT_ORDER[record.step.slot], record.position, record.step.title

    def done(self, version: int, *, several: bool) -> DaysBefore:
        """The grid of the days that were written down."""
        lines = tuple(
            GridLine(step_id, title, tuple(self.boxes[step_id].get(column.date) for column in self.columns))
            for step_id, (_, _, title) in sorted(self.told.items(), key=lambda one: one[1][:2])
        )
        return DaysBefore(tuple(self.columns), lines, _shape(self.columns, lines), version, several)


def _shape(columns: list[Column], lines: tuple[GridLine, ...]) -> str:
    boxes = [(line.step, line.title, *(box is not None for box in line.boxes)) for line in lines]
    return sha256(repr((columns, boxes)).encode()).hexdigest()[:SHAPE_LENGTH]
