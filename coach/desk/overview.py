"""The desk: what is late, what comes before the next desk-work day, and what comes later."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from coach.desk.answers import Desk, DueDateView, SettledView
from coach.desk.book import DeskBook, desk_book
from coach.desk.due_rows import due_view
from coach.desk.rules.dues import DueDate, Urgency
from coach.ground.situation import looking
from coach.ground.wording import long_date, near_day, whole_date
from coach.progress.days import ONE_DAY

if TYPE_CHECKING:
    from collections.abc import Iterable

    from coach.ground.ports import Context
    from coach.ground.situation import Situation

LATELY = timedelta(days=14)


def desk(context: Context, household: str) -> Desk:
    """The desk as it stands today.

    Raises:
        NotStarted: The household has not chosen its first step.
    """
    with looking(context, household) as where:
        return desk_in(where)


def desk_in(where: Situation) -> Desk:
    """The desk as it stands today, out of a situation."""
    return desk_view(desk_book(where))


def desk_view(book: DeskBook) -> Desk:
    """The desk that a book amounts to."""
    now = book.now()
    return Desk(
        date=book.today,
        desk_day=book.is_desk_day,
        next_desk_day=book.next_desk_day,
        now=due_dates(now, book.today),
        coming=due_dates(_coming(book, now), book.today),
        settled=_settled(book),
        dues=tuple(
            due_view(due) for due in sorted(book.dues.values(), key=lambda due: (due.name.casefold(), due.id))
        ),
    )


def due_dates(found: Iterable[DueDate], today: date) -> tuple[DueDateView, ...]:
    """Dates of dues with how they stand in words."""
    return tuple(
        DueDateView(
            due=one.due.id,
            name=one.due.name,
            on=one.on,
            comfortable=one.comfortable,
            urgency=one.urgency.value,
            amount=one.due.amount,
            text=_text(one, today),
        )
        for one in found
    )


def _coming(book: DeskBook, now: Iterable[DueDate]) -> list[DueDate]:
    """The next date of each due after those listed now; all of them leave time enough."""
    listed = {one.due.id: one.on + ONE_DAY for one in now}
    found = (
        DueDate(due, on, on - timedelta(days=due.needs), Urgency.IN_TIME)
        for due in book.dues.values()
        if (on := book.next_open(due, listed.get(due.id)))
    )
    return sorted(found, key=lambda one: (one.on, one.due.name, one.due.id))


def _text(one: DueDate, today: date) -> str:
    said = long_date(one.on) if one.on.year == today.year else whole_date(one.on)
    near = near_day(one.on, today)
    when = f"{near}, {said}" if near else said
    if one.urgency is Urgency.OVERDUE:
        return f"Was due {said}"
    if one.urgency is Urgency.LATE:
        days = "the day" if one.due.needs == 1 else f"the {one.due.needs} days"
        return f"Due {when}, sooner than {days} it needs"
    return f"Due {when}"


def _settled(book: DeskBook) -> tuple[SettledView, ...]:
    """What was dealt with lately, the latest first."""
    found = (
        SettledView(due_id, value["name"], on, date.fromisoformat(value["settled"]))
        for (due_id, on), value in book.done.items()
    )
    lately = [one for one in found if book.today - one.settled_on <= LATELY]
    return tuple(sorted(lately, key=lambda one: (one.settled_on, one.on, one.due), reverse=True))
