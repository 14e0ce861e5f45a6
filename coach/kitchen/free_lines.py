"""The lines that somebody wrote on the shopping list, as the plan keeps them until they are cleared."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from coach.course.shapes import required, shape
from coach.errors import Malformed, Unknown
from coach.kitchen.answers import WrittenLine
from coach.kitchen.rules.shopping import TICKS, FreeLine

if TYPE_CHECKING:
    from coach.ground.plan_rows import PlanRow
    from coach.ground.situation import Situation

KIND = "shopping"
_LINE = shape({"text": str, "entered": str, "tick": (str, None)})


def kept(where: Situation) -> tuple[FreeLine, ...]:
    """All of them, in the order in which they were written."""
    return tuple(where.plan.read(KIND, _line).values())


def kept_line(where: Situation, line_id: str) -> FreeLine:
    """The line of that id.

    Raises:
        Unknown: There is none.
    """
    line = where.plan.read_one(KIND, line_id, _line)
    if line is None:
        raise Unknown("There is no such line on the list. It may have been taken off meanwhile.")
    return line


def _line(line_id: str, value: dict[str, Any]) -> FreeLine:
    required(value, _LINE)
    if value["tick"] not in {None, *TICKS}:
        raise Malformed(f"“{value['tick']}” is no tick.")
    return FreeLine(line_id, value["text"], date.fromisoformat(value["entered"]), value["tick"])


def row(where: Situation, line: FreeLine) -> PlanRow:
    """The row that keeps a line as it is."""
    value = {"text": line.text, "entered": line.entered.isoformat(), "tick": line.tick}
    return where.row(KIND, line.id, value)


def view(line: FreeLine) -> WrittenLine:
    """A line for pages and JSON."""
    return WrittenLine(line.id, line.text, line.entered, line.tick)
