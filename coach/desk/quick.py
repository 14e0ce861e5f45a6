"""The quick line: read, said back, and then saved as a due, a to-do, an errand or a put-off job."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from coach.course.keys import is_blank
from coach.desk.answers import QuickRead, QuickSaved
from coach.desk.book import time_text
from coach.desk.dues import TypedDue, added_row
from coach.desk.rules.quickline import QuickKind, QuickLine, read_line, said_back
from coach.desk.rules.todos import PLACE_LENGTH, ToDoKind, checked_titles
from coach.desk.todos import added_rows
from coach.errors import Malformed
from coach.ground.faults import FieldFault, Unfit
from coach.ground.situation import looking
from coach.ground.wording import whole_date
from coach.ground.writing import Decision, to_plan, written
from coach.progress.days import hour_of, iso_date

if TYPE_CHECKING:
    from datetime import date, time

    from coach.ground.plan_rows import PlanRow
    from coach.ground.ports import Context
    from coach.ground.situation import Situation

_TO_DO_KINDS = {
    QuickKind.TO_DO: ToDoKind.OPEN,
    QuickKind.PUT_OFF: ToDoKind.PUT_OFF,
    QuickKind.ERRAND: ToDoKind.ERRAND,
}
_FIELDS = {"name": "title"}


@dataclass(frozen=True, slots=True)
class TypedQuick:
    """A quick line as it was said back, and perhaps mended.

    Attributes:
        on: YYYY-MM-DD, or empty.
        time: HH:MM, or empty.
    """

    kind: str
    title: str
    on: str = ""
    place: str = ""
    time: str = ""


def read(context: Context, household: str, line: str) -> QuickRead:
    """Read a quick line; nothing is written.

    Raises:
        NotStarted: The household has not chosen its first step.
        Malformed: It cannot be read; the text says how to mend it.
    """
    with looking(context, household) as where:
        return read_in(where, line)


def read_in(where: Situation, line: str) -> QuickRead:
    """The same, out of a situation."""
    found = read_line(line, where.today)
    return QuickRead(
        line=line,
        kind=found.kind.value,
        title=found.title,
        on=found.on,
        time=time_text(found.at),
        place=found.place,
        text=said_back(found),
    )


def save(context: Context, household: str, typed: TypedQuick) -> QuickSaved:
    """Save what was said back.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unfit: It cannot be kept; nothing was written.
        NotEditable: There are too many.
    """
    line = _line(typed)

    def decide(where: Situation) -> Decision[str]:
        row = _row(where, line)
        return to_plan([row], row.key)

    def saved(_: Situation, key: str) -> QuickSaved:
        return QuickSaved(line.kind.value, key, line.title, line.on, time_text(line.at))

    return written(context, household, decide, saved)


def _line(typed: TypedQuick) -> QuickLine:
    """What is to be saved; a date or a place that its kind has no room for goes into its words."""
    if typed.kind not in set(QuickKind):
        raise Unfit([FieldFault("kind", f"Choose one of {', '.join(QuickKind)}.")])
    kind, title, on = QuickKind(typed.kind), " ".join(typed.title.split()), _date(typed.on)
    at, place = _time(typed.time), " ".join(typed.place.split())
    if is_blank(title):
        raise Unfit([FieldFault("title", "What is to be done? Write it down in a few words.")])
    if kind is QuickKind.DUE and on is None:
        raise Unfit([FieldFault("on", "When is it due? Give the date, or save it as a to-do.")])
    if len(place) > PLACE_LENGTH:
        raise Unfit(
            [FieldFault("place", f"The place has {len(place)} characters. Keep it to {PLACE_LENGTH}.")]
        )
    if place and kind is not QuickKind.ERRAND:
        title, place = f"{title}, at {place}", ""
    if kind is not QuickKind.DUE:
        title, on, at = f"{title}{_by(on, at)}", None, None
    return QuickLine(kind, title, on, place or None, at)


def _by(on: date | None, at: time | None) -> str:
    """A date and a time as the end of the words of what has none."""
    said = f" at {at:%H:%M}" if at else ""
    return f", by {whole_date(on)}{said}" if on else f",{said}" if said else ""


def _date(typed: str) -> date | None:
    try:
        return iso_date(typed.strip()) if typed.strip() else None
    except Malformed as error:
        raise Unfit([FieldFault("on", str(error))]) from None


def _time(typed: str) -> time | None:
    try:
        return hour_of(typed.strip()) if typed.strip() else None
    except Malformed as error:
        raise Unfit([FieldFault("time", str(error))]) from None


def _row(where: Situation, line: QuickLine) -> PlanRow:
    try:
        if line.kind is QuickKind.DUE:
            return added_row(where, TypedDue(name=line.title, on=str(line.on), time=time_text(line.at) or ""))
        [row] = added_rows(where, checked_titles([line.title], "Line"), _TO_DO_KINDS[line.kind], line.place)
    except Unfit as error:
        raise Unfit(
            replace(fault, field=_FIELDS.get(fault.field, fault.field)) for fault in error.faults
        ) from None
    except Malformed as error:
        raise Unfit([FieldFault("title", str(error))]) from None
    return row
