"""The days on which steps fall, for many households that met a step on different days."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from coach.course.recurrence import falls_between, weekdays
from coach.course.rule import WEEKDAYS, rule_of
from coach.progress.days import FIRST_ZONE, following

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from numpy.typing import NDArray

    from coach.course.rule import Rule


def days_from(first: date, many: int, zone: str = FIRST_ZONE) -> list[date]:
    """So many household days in a row, and the one after them, for the last one's tomorrow."""
    days = [first]
    while len(days) <= many:
        days.append(following(days[-1], zone))
    return days


class Falls:
    """For each step and each of D days in a row whether it falls, by the date on which the step came.

    A rule that names its days falls on the same ones whenever its step came. One that counts from that date
    (`INTERVAL`, or a week or month without a day named) has a row of its own for each such date; rows are
    worked out when a household first needs them. Before its step came nothing falls: whoever asks sees to it.

    Args:
        repeats: The steps' rules, in course order.
        days: The household days in order; one more than are followed, for the last one's tomorrow.
    """

    def __init__(self, repeats: Sequence[str], days: Sequence[date]) -> None:
        self._days = days
        self._place = {day: number for number, day in enumerate(days)}
        self._repeats = repeats
        rules = [rule_of(rule) for rule in repeats]
        self.counting = tuple(step for step, rule in enumerate(rules) if _counts_from_its_start(rule))
        self._fixed = np.zeros((len(days), len(repeats)), bool)
        numbers = np.array([day.weekday() for day in days])
        for step, rule in enumerate(rules):
            named = weekdays(repeats[step]) if rule.begins is None else None
            if named is not None:
                # The same every week, or every day: nothing has to be worked out date by date.
                self._fixed[:, step] = np.isin(numbers, list(map(WEEKDAYS.index, named or WEEKDAYS)))
            elif step not in self.counting:
                self._fixed[:, step] = self._worked_out(step, days[0])
        self.everything = self._fixed.all(axis=1)
        self._rows: dict[int, list[NDArray[np.bool_]]] = {step: [] for step in self.counting}
        self._numbers: dict[tuple[int, date], int] = {}
        self._tables: dict[int, NDArray[np.bool_]] = {}

    def _worked_out(self, step: int, start: date) -> NDArray[np.bool_]:
        row = np.zeros(len(self._days), bool)
        for day in falls_between(self._repeats[step], start, max(start, self._days[0]), self._days[-1]):
            place = self._place.get(day)
            if place is not None:
                row[place] = True
        return row

    def row(self, step: int, start: date) -> int:
        """The number of the row of a step that came on a date; 0 for a rule that has none."""
        if step not in self._rows:
            return 0
        number = self._numbers.get((step, start))
        if number is None:
            number = self._numbers[step, start] = len(self._rows[step])
            self._rows[step].append(self._worked_out(step, start))
            self._tables.pop(step, None)
        return number

    def row_of_day(self, step: int, day: int) -> int:
        """The number of the row of a step that came on the day of that place."""
        return self.row(step, self._days[day])

    def on(self, day: int, rows: NDArray[np.int32], out: NDArray[np.bool_]) -> NDArray[np.bool_]:
        """Whether each of S steps falls on a day for each of H households.

        Args:
            day: The day's place.
            rows: (S, H) numbers of rows.
            out: (S, H), filled and given back.
        """
        out[...] = self._fixed[day][:, None]
        for step in self.counting:
            if self._rows[step]:
                out[step] = self._table(step)[day].take(rows[step])
        return out

    def _table(self, step: int) -> NDArray[np.bool_]:
        """For each day the fall of each row: (D, rows)."""
        table = self._tables.get(step)
        if table is None:
            table = self._tables[step] = np.ascontiguousarray(np.array(self._rows[step]).T)
        return table


def _counts_from_its_start(rule: Rule) -> bool:
    if rule.begins is not None:
        return False
    names_no_day = (rule.freq == "WEEKLY" and not rule.days) or (
        rule.freq == "MONTHLY" and not (rule.days or rule.monthdays)
    )
    return rule.interval > 1 or names_no_day
