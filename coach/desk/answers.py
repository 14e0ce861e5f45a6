"""What the desk answers of dues, to-dos and the quick line: plain values for pages and JSON alike."""

# Pydantic reads these annotations at run time.
import datetime as dt
from dataclasses import dataclass
from typing import Literal

from coach.desk.rules import dues
from coach.ground.offers import Offer

UrgencyName = Literal["in-time", "late", "overdue"]
ToDoKindName = Literal["open", "put-off", "errand"]
QuickKindName = Literal["due", "to-do", "put-off", "errand"]
# The bounds that the interface tells of.
DAYS_NEEDED, MOST_DAYS_NEEDED, AMOUNT_LENGTH = dues.DAYS_NEEDED, dues.MOST_DAYS_NEEDED, dues.AMOUNT_LENGTH


@dataclass(frozen=True, slots=True)
class DueView:
    """A due as it is kept.

    Attributes:
        on: Its date, or the first of those on which it repeats.
        repeats: RFC 5545 rule, or none for a single date; `repeats_text` says it in words.
        needs: Days needed before.
        amount: As typed.
        time: HH:MM by the household's clock, of an appointment.
    """

    id: str
    name: str
    on: dt.date
    repeats: str | None
    repeats_text: str
    needs: int
    amount: str | None
    time: str | None


@dataclass(frozen=True, slots=True)
class DueDateView:
    """One date on which a due is due.

    Attributes:
        due: The due's id.
        comfortable: The latest comfortable date: the due date less the days needed.
        urgency: `in-time`, `late` (the latest comfortable date is past) or `overdue`.
        time: HH:MM by the household's clock, of an appointment.
        text: How it stands, in words.
    """

    due: str
    name: str
    on: dt.date
    comfortable: dt.date
    urgency: UrgencyName
    amount: str | None
    time: str | None
    text: str


@dataclass(frozen=True, slots=True)
class SeenToView:
    """A date of a due that is seen to, or paid, and when."""

    due: str
    name: str
    on: dt.date
    seen_to_on: dt.date
    amount: str | None
    time: str | None


@dataclass(frozen=True, slots=True)
class Desk:
    """The desk as it stands today.

    Attributes:
        desk_day: Whether today is a desk-work day.
        next_desk_day: The next one after today, if one is known.
        now: What is late, and what needs to be seen to before the next desk-work day.
        coming: The next date of every other due.
        seen_to: What was seen to in the last two weeks.
        dues: All that are kept, by name.
    """

    date: dt.date
    desk_day: bool
    next_desk_day: dt.date | None
    now: tuple[DueDateView, ...]
    coming: tuple[DueDateView, ...]
    seen_to: tuple[SeenToView, ...]
    dues: tuple[DueView, ...]


@dataclass(frozen=True, slots=True)
class ToDoView:
    """One thing to do.

    Attributes:
        entered: The date it was written down.
        place: Where an errand leads, if that is said.
        done: The date it was done on.
    """

    id: str
    title: str
    entered: dt.date
    kind: ToDoKindName
    place: str | None
    done: dt.date | None


@dataclass(frozen=True, slots=True)
class ErrandPlace:
    """The errands of one place; those without one stand under none."""

    place: str | None
    todos: tuple[ToDoView, ...]


@dataclass(frozen=True, slots=True)
class ToDos:
    """Everything to be done that has no date.

    Attributes:
        open: In the order in which they were written down.
        put_off: The oldest first.
        picked: The put-off job for its next day: the one that was picked, or the oldest.
        errands: By place.
        done: What was done in the last two weeks, the latest first.
        offers: The mark of a step that works in errands, once one was done today and none waits any more.
    """

    date: dt.date
    open: tuple[ToDoView, ...]
    put_off: tuple[ToDoView, ...]
    picked: ToDoView | None
    errands: tuple[ErrandPlace, ...]
    done: tuple[ToDoView, ...]
    offers: Offer | None


@dataclass(frozen=True, slots=True)
class QuickRead:
    """A quick line as it was understood, to be said back before it is saved.

    Attributes:
        on: The date found in it.
        time: The time found beside the date, HH:MM.
        place: Where an errand leads, if that is said.
        text: The same as a sentence.
    """

    line: str
    kind: QuickKindName
    title: str
    on: dt.date | None
    time: str | None
    place: str | None
    text: str


@dataclass(frozen=True, slots=True)
class QuickSaved:
    """What a quick line was saved as: a due, or a to-do of a kind, with its id."""

    kind: QuickKindName
    id: str
    title: str
    on: dt.date | None
    time: str | None


@dataclass(frozen=True, slots=True)
class DeskToday:
    """What today is given of the desk.

    Attributes:
        desk_day: Whether today is a desk-work day; on other days `dues` holds only what none has listed.
        working: Whether a step that works at the desk stands on today's list.
        next_desk_day: The next one after today, if one is known.
        due: What is due today, or was before and is not seen to.
        dues: What desk work lists besides.
    """

    desk_day: bool
    working: bool
    next_desk_day: dt.date | None
    due: tuple[DueDateView, ...]
    dues: tuple[DueDateView, ...]


@dataclass(frozen=True, slots=True)
class DuesOn:
    """The dues of one date, each in the order of its time: those not seen to, and those that are."""

    not_seen_to: tuple[DueDateView, ...]
    seen_to: tuple[SeenToView, ...]


@dataclass(frozen=True, slots=True)
class PutOffToday:
    """The put-off job of a desk-work day.

    Attributes:
        picked: The one that was picked, or the oldest; none if nothing is put off.
        others: Those that could be picked instead, the oldest first.
    """

    picked: ToDoView | None
    others: tuple[ToDoView, ...]
