"""A household's log, read plainly for the second reading (rules.md §2 and §4)."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from property.plain_course import Course, happened

if TYPE_CHECKING:
    from collections.abc import Iterator

Row = tuple[str, str, str, str]

MARKS = ("kept", "small", "missed", "excused")
ONE_DAY = timedelta(days=1)


class Log:
    """All rows of a household, in file order, with the course they speak of."""

    def __init__(self, course: Course, rows: list[Row]) -> None:
        self.course, self.rows = course, rows
        # Only the first `start` row counts.
        self.start_row = next(row for row in rows if row[1] == "start")
        on, _, self.first_step, self.pace = self.start_row
        self.start = date.fromisoformat(on)

    def zone(self, day: date) -> str:
        """Name the zone in force on the date: the last `zone` row dated up to it."""
        on = day.isoformat()
        so_far = [row for row in self.rows if row[1] == "zone" and row[0] <= on]
        return ["UTC", *(row[3] for row in sorted(so_far, key=by_date))][-1]

    def household_days(self, until: date) -> Iterator[date]:
        # Reading: the start date opens, whatever the calendar says of it. Rows take effect when their date
        # opens (§4), so whether a date exists is told by the zone in force before it; a `zone` row changes
        # no date it shares with marks already in the log.
        for offset in range((until - self.start).days + 1):
            day = self.start + offset * ONE_DAY
            if day == self.start or happened(day, self.zone(day - ONE_DAY)):
                yield day

    def known(self, day: date) -> set[str]:
        on = day.isoformat()
        added = {row[2] for row in self.rows if row[1] == "add" and row[0] <= on}
        return {words["id"] for words in self.course["steps"]} | added

    def meant(self, name: str, known: set[str]) -> str:
        """§3, `formerly`: the step a name means, among those that are known themselves."""
        having = [words["id"] for words in self.course["steps"] if name in words["formerly"]]
        return name if name in known or not having else having[0]

    def marks_on(self, day: date) -> dict[str, str]:
        """§4: the last row per date and step wins; `clear` takes a mark back."""
        on = day.isoformat()
        rows = [row for row in self.rows if row[0] == on and row[1] in (*MARKS, "clear")]
        known = self.known(day)
        last = {self.meant(step, known): what for _, what, step, _ in rows}
        return {step: what for step, what in last.items() if what != "clear" and step in known}

    def rows_opening(self, day: date, previous: date | None) -> list[Row]:
        """§4: the other rows that take effect as this date opens, in the order in which they were written."""
        # Reading: rows dated before the start come by date, and within a date as written.
        # Reading: rows of a date that never happened count as the next day's, and come before its own.
        done, on = previous.isoformat() if previous else "", day.isoformat()
        rows = [row for row in self.rows if done < row[0] <= on]
        return sorted((row for row in rows if row[1] not in (*MARKS, "clear")), key=by_date)

    def resumes(self, day: date, previous: date | None) -> list[str]:
        """Give the values of the `resume` rows that take effect as this date opens."""
        return [value for _, what, _, value in self.rows_opening(day, previous) if what == "resume"]


def by_date(row: Row) -> str:
    return row[0]
