"""What the use cases answer about several days gone by at once: the days before today, and a month."""

# Pydantic reads these annotations at run time; `dt.date` is not mistaken for the field `date`.
import datetime as dt
from dataclasses import dataclass
from typing import Literal

from coach.habits.answers import MarkName

MonthDayName = Literal["before", "lived", "away", "today", "ahead"]


@dataclass(frozen=True, slots=True)
class Column:
    """One of the days before today, and whether the household was paused or lapsed on it."""

    date: dt.date
    away: bool


@dataclass(frozen=True, slots=True)
class Box:
    """A line on a day on which it was on the list, with what has been logged for it."""

    date: dt.date
    mark: MarkName | None


@dataclass(frozen=True, slots=True)
class GridLine:
    """A line with a place for each column: its box, or none where the line was not on that day's list."""

    step: str
    title: str
    boxes: tuple[Box | None, ...]


@dataclass(frozen=True, slots=True)
class DaysBefore:
    """The days before today that can still be filled in.

    Attributes:
        columns: The days, oldest first.
        lines: In the checklist's order.
        shape: Changes with the days, the lines and their boxes, and not with the marks in them.
        version: The household's version as this answer saw it.
        several: Whether two or more live here.
    """

    columns: tuple[Column, ...]
    lines: tuple[GridLine, ...]
    shape: str
    version: int
    several: bool

    def line(self, step: str) -> GridLine | None:
        """The line of a step, if it is among them."""
        return next((line for line in self.lines if line.step == step), None)


@dataclass(frozen=True, slots=True)
class MonthDay:
    """A day of a month.

    Attributes:
        state: `before` (the household had not started), `lived`, `away` (paused or lapsed, or the date never
            happened), `today` (not closed yet), or `ahead`.
        kept: Outcomes kept on the day; of today, lines kept so far.
        of: Outcomes in all, each on the day it closed; of today, lines on the list.
    """

    date: dt.date
    state: MonthDayName
    kept: int
    of: int


@dataclass(frozen=True, slots=True)
class MonthStep:
    """A step that came or settled in a month, and when."""

    step: str
    title: str
    on: dt.date


@dataclass(frozen=True, slots=True)
class Month:
    """A month as it stands.

    Attributes:
        month: Its name, such as `2027-01`.
        first: Its first date.
        days: All its dates.
        kept: Outcomes kept on its days gone by; `of` is the number of all.
        came: The steps that came in it.
        settled: The steps that settled in it.
        earlier: The month before, if the household had started by then.
        later: The month after, if it has begun.
    """

    month: str
    first: dt.date
    days: tuple[MonthDay, ...]
    kept: int
    of: int
    came: tuple[MonthStep, ...]
    settled: tuple[MonthStep, ...]
    earlier: str | None
    later: str | None
