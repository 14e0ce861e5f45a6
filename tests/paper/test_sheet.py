"""The week sheet as an answer: boxes, jobs, areas, dinners, dues, in weeks gone by, this one and coming ones."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.paper.sheet import sheet
from habits.house import HOME, House
from week.house import settled

if TYPE_CHECKING:
    from coach.paper.answers import Sheet, SheetLine


def seen(house: House, week: str | None = None) -> Sheet:
    return sheet(house.context, HOME, week)


def line(found: Sheet, step: str) -> SheetLine:
    return next(one for one in found.lines if one.step == step)


def test_a_daily_line_has_a_box_for_each_date_with_what_was_marked_in_it() -> None:
    house = settled(24, unmarked=frozenset({(23, "bed")}))
    assert line(seen(house), "bed").boxes == ("kept", "open", *["open"] * 5)
    house.mark(23, "bed", "missed")
    assert line(seen(house), "bed").boxes[:3] == ("kept", "missed", "open")
