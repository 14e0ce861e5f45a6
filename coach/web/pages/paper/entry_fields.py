"""The boxes of a sheet that is entered: what stands in them, whether they can be entered, what a tick says.

What a box says is a text (`coach.web.pages.paper.entry_texts`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, get_args

from coach.course.direction import isolated
from coach.ground.wording import long_date
from coach.habits.answers import MarkName
from coach.web.pages.paper.entry_texts import SEEN_TO

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from coach.paper.answers import Sheet

KEPT = "kept"
NOT_DONE = frozenset({"missed", "excused"})
"""Marks of a line that paper shows as an empty box: a tick there says that it was kept."""


@dataclass(frozen=True, slots=True)
class Field:
    """A box of the sheet.

    Attributes:
        now: What stands in it; empty: nothing.
        label: What it is called.
        open: Whether it can be entered.
        dates: Of one that does not say by itself on which date it was done: those it can have been.
        chosen_in: The name of the field in which that date is chosen.
    """

    name: str
    now: str
    label: str
    open: bool
    dates: tuple[date, ...] = ()
    chosen_in: str = ""


@dataclass(frozen=True, slots=True)
class Box:
    """A box as the page draws it.

    Attributes:
        text: What it says when it is ticked.
        kind: The mark that it shows then.
        ticked: Whether it is.
        was: What it says while it is not ticked; empty: nothing.
        was_kind: The mark that it shows then.
    """

    name: str
    label: str
    text: str
    kind: str
    ticked: bool
    was: str = ""
    was_kind: str = ""


def fields(sheet: Sheet) -> Iterator[Field]:
    """All boxes of a sheet but those of dates that are to come."""
    yield from _boxes(sheet)
    yield from _jobs(sheet)
    yield from _tasks(sheet)
    yield from _dues(sheet)


def now(sheet: Sheet) -> dict[str, str]:
    """What all of them say, by name."""
    return {field.name: field.now for field in fields(sheet)}


def _boxes(sheet: Sheet) -> Iterator[Field]:
    lived = {*sheet.enterable, *sheet.late}
    for line in sheet.lines:
        for day, kind in zip(sheet.days, line.boxes, strict=True):
            if kind != "none" and day.date in lived:
                label = f"{isolated(line.title)}, {long_date(day.date)}"
                now = "" if kind == "open" else kind
                yield Field(f"{day.date}/{line.step}", now, label, day.date in sheet.enterable)


def _jobs(sheet: Sheet) -> Iterator[Field]:
    for job in sheet.jobs:
        name, dates = f"job/{job.date}/{job.step}", tuple(on for on in sheet.enterable if on >= job.date)
        label = f"{isolated(job.title)}, {long_date(job.date)}"
        if job.marked_on is None:
            yield Field(name, "", label, bool(dates), dates, name)
        else:
            now = f"{job.box}@{job.marked_on}"
            yield Field(name, now, label, job.marked_on in sheet.enterable, dates, name)


def _tasks(sheet: Sheet) -> Iterator[Field]:
    for area in sheet.areas:
        for task in area.tasks:
            now = f"@{task.done}" if task.done else ""
            is_open = task.done in sheet.enterable if task.done else bool(sheet.enterable)
            label = f"{isolated(task.title)}, {isolated(area.name)}"
            yield Field(f"task/{task.task}", now, label, is_open, sheet.enterable, f"area/{area.area}")


def _dues(sheet: Sheet) -> Iterator[Field]:
    for due in sheet.dues:
        label = f"{isolated(due.name)}, {long_date(due.date)}"
        is_open = bool(sheet.enterable) and not due.seen_to
        yield Field(f"due/{due.date}/{due.due}", SEEN_TO if due.seen_to else "", label, is_open)


def box(field: Field, text: str) -> Box:
    """A field as the page draws it, with what stands in it or was ticked."""
    stands, at, on = field.now.partition("@")
    if stands in NOT_DONE:
        said = text if text not in {"", field.now} else f"{KEPT}{at}{on}"
        return Box(field.name, field.label, said, _mark(said), said == text, field.now, stands)
    usual = field.now or _ticked(field, KEPT)
    said = usual if text in {"", field.now} else _ticked(field, text.partition("@")[0])
    return Box(field.name, field.label, said, _mark(said), bool(text))


def _mark(text: str) -> str:
    """The mark that a box shows which says a text."""
    mark = text.partition("@")[0]
    return mark if mark in get_args(MarkName) else KEPT


def _ticked(field: Field, mark: str) -> str:
    """What a tick in a box says that says something else as it stands."""
    if field.name.startswith("due/"):
        return SEEN_TO
    if field.name.startswith("task/"):
        return f"@{field.chosen_in}"
    return f"{mark}@{field.chosen_in}" if field.chosen_in else mark
