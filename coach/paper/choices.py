"""How a household wants its week sheet: kept in its plan, and changed by whoever lives there."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, get_args

from coach.course.shapes import required, shape
from coach.errors import Malformed
from coach.ground.situation import looking
from coach.ground.writing import Decision, to_plan, written
from coach.paper.answers import PaperName, PieceName, SheetChoices

if TYPE_CHECKING:
    from collections.abc import Sequence

    from coach.ground.ports import Context
    from coach.ground.situation import Situation

SHEET = "sheet"
PAPERS: tuple[PaperName, ...] = get_args(PaperName)
PIECES: tuple[PieceName, ...] = get_args(PieceName)

_KEPT = shape({"paper": str, "across": bool, "back": bool, "left_off": [str]})


def choices(context: Context, household: str) -> SheetChoices:
    """How a household wants its sheet.

    Raises:
        NotStarted: The household has not chosen its first step.
    """
    with looking(context, household) as where:
        return choices_in(where)


def choices_in(where: Situation) -> SheetChoices:
    """The same out of a situation; where nothing was chosen, A4 upright with everything on it."""
    return where.plan.read_one(SHEET, "", _choices) or SheetChoices()


def choose(context: Context, household: str, wanted: SheetChoices) -> SheetChoices:
    """Say how the sheet is wanted; the same again changes nothing.

    Raises:
        NotStarted: The household has not chosen its first step.
        Malformed: There is no such paper, or nothing of that name that could be left off.
    """
    checked = chosen(wanted.paper, wanted.left_off, across=wanted.across, back=wanted.back)

    def decide(where: Situation) -> Decision[None]:
        return to_plan([] if choices_in(where) == checked else [where.row(SHEET, "", _json(checked))])

    return written(context, household, decide, lambda where, _: choices_in(where))


def chosen(paper: str, left_off: Sequence[str], *, across: bool = False, back: bool = False) -> SheetChoices:
    """Choices as they are kept: what is left off each once, in the order in which it is offered.

    Raises:
        Malformed: There is no such paper, or nothing of that name that could be left off.
    """
    found = next((one for one in PAPERS if one == paper), None)
    if found is None:
        raise Malformed(f"There is no paper “{paper[:20]}” here. Choose {' or '.join(PAPERS)}.")
    for piece in left_off:
        if piece not in PIECES:
            raise Malformed(f"“{piece[:20]}” cannot be left off. There are: {', '.join(PIECES)}.")
    return SheetChoices(found, across, back, tuple(piece for piece in PIECES if piece in left_off))


def _json(choices: SheetChoices) -> dict[str, Any]:
    left_off = list(choices.left_off)
    return {"paper": choices.paper, "across": choices.across, "back": choices.back, "left_off": left_off}


def _choices(_key: str, value: dict[str, Any]) -> SheetChoices:
    required(value, _KEPT)
    return chosen(value["paper"], value["left_off"], across=value["across"], back=value["back"])
