"""The dues of a household with what is settled of them, as they stand today."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from coach.desk.desk_days import desk_days
from coach.desk.due_rows import DONE, KIND, due_of
from coach.desk.rules.dues import Due, DueDate, is_desk_day, listed
from coach.desk.rules.repeating import dates_of
from coach.ground.ports import dated_keys
from coach.progress.days import ONE_DAY

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from coach.desk.rules.dues import DeskDays
    from coach.ground.situation import Situation

YEARS_AHEAD = 40
_AGO = timedelta(days=400)


@dataclass(frozen=True, slots=True)
class DeskBook:
    """What the desk services work with.

    Attributes:
        dues: By id.
        done: What is settled, by id and date, as the plan keeps it.
        days: The first desk-work day on or after a date.
    """

    today: date
    dues: Mapping[str, Due]
    done: Mapping[tuple[str, date], dict[str, Any]]
    days: DeskDays

    @property
    def is_desk_day(self) -> bool:
        """Whether today is a desk-work day."""
        return is_desk_day(self.today, self.days)

    @property
    def next_desk_day(self) -> date | None:
        """The first desk-work day after today."""
        return self.days(self.today + ONE_DAY)

    def listed(self) -> tuple[DueDate, ...]:
        """What today lists: on a desk-work day all that is late or comes too soon for the next one."""
        return listed(self.dues.values(), self.done, self.today, self.days)

    def now(self) -> tuple[DueDate, ...]:
        """What a desk-work day would list if today were one."""
        following = self.next_desk_day

        def days(day: date) -> date | None:
            return self.today if day == self.today else following

        return listed(self.dues.values(), self.done, self.today, days)

    def next_open(self, due: Due, since: date | None = None) -> date | None:
        """The first date of a due that is not settled, from a date on if one is named."""
        begun = due.on if due.settled_through is None else max(due.on, due.settled_through + ONE_DAY)
        first = max(begun, since or begun)
        return next((on for on in _dates(due, first) if (due.id, on) not in self.done), None)

    def is_open(self, due: Due, on: date) -> bool:
        """Whether a due is due on a date, and that is not settled."""
        return self.next_open(due, on) == on


def _dates(due: Due, first: date) -> Iterator[date]:
    """The dates of a due from one on, for as long as anybody looks ahead."""
    if due.repeats is None:
        return iter([due.on] if due.on >= first else [])
    last = date(min(first.year + YEARS_AHEAD, date.max.year), 12, 31)
    return dates_of(due.repeats, due.on, first, last)


def desk_book(where: Situation) -> DeskBook:
    """The dues as they stand in a plan."""
    dues = {key: due_of(key, value) for key, value in where.values(KIND)}
    begun = (due.settled_through or due.on for due in dues.values())
    first = min((where.today - _AGO, *begun))
    done = {
        (key[11:], date.fromisoformat(key[:10])): value
        for key, value in where.values(DONE, *dated_keys(first, date.max))
    }
    return DeskBook(where.today, dues, done, desk_days(where))


def done_key(on: date, due_id: str) -> str:
    """The key under which a settled date is kept."""
    return f"{on}/{due_id}"
