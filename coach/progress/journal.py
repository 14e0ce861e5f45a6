"""The log made ready for the fold: marks by date, and all else in the order in which it takes effect."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from coach.errors import Malformed
from coach.progress.log import MARKING, Mark, Row, What, last_marks

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from datetime import date

    from coach.course.model import Course


@dataclass(frozen=True, slots=True)
class Version:
    """The course as it holds from the opening of `since` on."""

    since: date
    course: Course


@dataclass(frozen=True, slots=True)
class Journal:
    """What the fold reads.

    Attributes:
        versions: The course's versions, oldest first; the first one holds from the start.
        marks: For each date and id what the last row written says, as `last_marks` has it.
        start: The first row written that starts the household, if it is among these.
        decisions: All other rows, by date and then in the order written; of those that say a pace the ones
            that come after the start, which says one itself.
    """

    versions: tuple[Version, ...]
    marks: dict[date, dict[str, Mark | None]]
    start: Row | None
    decisions: tuple[Row, ...]

    def start_row(self) -> Row:
        """The row that started the household.

        Raises:
            Malformed: The log has none.
        """
        if self.start is None:
            raise Malformed("The log has no start row. Its first row says start, with the step begun with.")
        return self.start

    def course_on(self, day: date) -> Course:
        """The course that holds on that date."""
        return next(
            (version.course for version in reversed(self.versions) if version.since <= day),
            self.versions[0].course,
        )

    def with_rows(self, rows: Sequence[Row]) -> Journal:
        """The same with rows written after these; none of them is a start."""
        decisions = [row for row in rows if row.what not in MARKING and self._takes_effect(row)]
        ordered = tuple(sorted((*self.decisions, *decisions), key=_date)) if decisions else self.decisions
        return replace(self, marks=last_marks(rows, self.marks), decisions=ordered)

    def _takes_effect(self, row: Row) -> bool:
        """Whether a row written after the start has an effect of its own."""
        if row.what is What.PACE:
            return self.start is None or row.date >= self.start.date
        return row.what is not What.START

    def decisions_between(self, after: date | None, until: date) -> list[Row]:
        """The rows that take effect as `until` opens: dated later than `after`, the last day folded.

        Those of dates that never happened, or lie before the start, count as written for `until`.
        """
        return [
            row if row.date == until else replace(row, date=until)
            for row in self.decisions
            if (after is None or row.date > after) and row.date <= until
        ]


def journal(versions: Sequence[Version], rows: Sequence[Row]) -> Journal:
    """Arrange a log, given in the order written."""
    start = next((row for row in rows if row.what is What.START), None)
    ordered = sorted((row for row in rows if row.what not in MARKING), key=_date)
    return Journal(tuple(versions), last_marks(rows), start, tuple(_decisions(ordered, start)))


def _decisions(ordered: Sequence[Row], start: Row | None) -> Iterator[Row]:
    """The rows but the starts; a pace that comes before the start gives way to the start's own."""
    begun = start is None
    for row in ordered:
        begun = begun or row is start
        if row.what is not What.START and (begun or row.what is not What.PACE):
            yield row


def _date(row: Row) -> date:
    return row.date
