"""Whether a week sheet fits on its page when a browser prints it, and what could be left off if not."""

from __future__ import annotations

from dataclasses import replace

from coach.paper.answers import PieceHelp, PieceName, Sheet, SheetFit
from coach.paper.choices import PIECES
from coach.paper.rules.fit import fitting
from coach.paper.sheet import as_chosen


def fit_of(sheet: Sheet) -> SheetFit:
    """How a sheet fits, without what its household leaves off."""
    found = fitting(as_chosen(sheet))
    helps = _helps(sheet, found.over) if found.over else []
    return SheetFit(found.step, found.size, found.over, tuple(helps))


def _helps(sheet: Sheet, over: int) -> list[PieceHelp]:
    found = []
    for piece in PIECES:
        if piece not in sheet.choices.left_off:
            rest = fitting(as_chosen(_without(sheet, piece))).over
            if rest < over:
                found.append(PieceHelp(piece, over - rest, rest == 0))
    return sorted(found, key=lambda one: -one.saves)


def _without(sheet: Sheet, piece: PieceName) -> Sheet:
    left_off = (*sheet.choices.left_off, piece)
    return replace(sheet, choices=replace(sheet.choices, left_off=left_off))
