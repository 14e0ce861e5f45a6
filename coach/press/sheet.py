"""The week sheet as PDF: one page, and a back page where the household wants one."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING, Any

from coach.ground.wording import long_date
from coach.paper.sheet import as_chosen
from coach.press.letters import values
from coach.press.printed import Printed, TooLong
from coach.press.setting import Form, asked, printed, with_faces

if TYPE_CHECKING:
    from typst import Fonts

    from coach.paper.answers import Sheet, SheetDay

_FORM = Form(("ground", "motifs", "sheet"))


def sheet(sheet: Sheet) -> Printed | TooLong:
    """A week on one page: in type of 11 points where there is room, and never of less than 8.

    What the household leaves off is not on it.

    Raises:
        NotReady: The library is not installed, or no face of type has a letter.
    """
    made: Printed | TooLong = with_faces(_values(as_chosen(sheet)), _set)
    return made


def _set(data: Any, fonts: Fonts) -> Printed | TooLong:  # noqa: ANN401  what the template reads
    found = asked(_FORM, {"sheet": data, "fit": None}, fonts, "fit")
    if found["lines"] or found["over"]:
        return TooLong(found["lines"], found["over"])
    pdf = printed(_FORM, {"sheet": data, "fit": found}, fonts)
    return Printed(pdf, 2 if data["choices"]["back"] else 1, found["points"])


def _values(sheet: Sheet) -> dict[str, Any]:
    """A sheet as the template reads it, its dates in words."""
    data: dict[str, Any] = values(sheet)
    data["minutes"] = "minutes" not in sheet.choices.left_off
    for day, known in zip(data["days"], sheet.days, strict=True):
        day |= {"name": _short(known), "number": str(known.date.day)}
    data["jobs"] = [
        job | {"front": _front(job, sheet), "day": long_date(known.date)}
        for job, known in zip(data["jobs"], sheet.jobs, strict=True)
    ]
    data["rests"] = _rests(sheet.days)
    return data


def _front(job: dict[str, Any], sheet: Sheet) -> list[str]:
    """The lines of a job that stand on the front: none where they stand on the back page."""
    return [] if sheet.choices.back else job["lines"]


def _short(day: SheetDay) -> str:
    """The weekday of a date as it stands at the head of a narrow column: `Mon`."""
    return f"{day.date:%a}"


def _rests(days: tuple[SheetDay, ...]) -> list[str]:
    """Why nothing is asked on some dates, those that follow each other together: `Thu to Sat: away`."""
    told = []
    for rest, those in groupby(days, key=lambda day: day.rest):
        names = [_short(day) for day in those]
        if rest is not None:
            told.append(f"{names[0] if len(names) == 1 else f'{names[0]} to {names[-1]}'}: {rest}")
    return told
