"""Whether a week sheet fits on its page when a browser prints it, and what could be left off if not."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from coach.paper.answers import PieceHelp, SheetFit
from coach.paper.choices import PIECES
from coach.paper.rules.fit import Content, Text, fitting
from coach.paper.sheet import as_chosen

if TYPE_CHECKING:
    from collections.abc import Iterator

    from coach.paper.answers import PieceName, Sheet, SheetDinner, SheetJob
    from coach.paper.rules.fit import Fitting

DATE = "Wed 00"
"""A date as it stands before a line, of the widest kind."""


def fit_of(sheet: Sheet) -> SheetFit:
    """How a sheet fits, without what its household leaves off."""
    found = _fitting(sheet)
    helps = _helps(sheet, found.over) if found.over else []
    back = fitting(_back(sheet))
    back_over = back.over if sheet.choices.back else 0
    return SheetFit(found.step, found.size, found.layout, found.over, tuple(helps), back.step, back_over)


def _fitting(sheet: Sheet) -> Fitting:
    return fitting(_content(as_chosen(sheet)))


def _helps(sheet: Sheet, over: int) -> list[PieceHelp]:
    found = []
    for piece in PIECES:
        if piece not in sheet.choices.left_off:
            rest = _fitting(_without(sheet, piece)).over
            if rest < over:
                found.append(PieceHelp(piece, over - rest, rest == 0))
    return sorted(found, key=lambda one: -one.saves)


def _without(sheet: Sheet, piece: PieceName) -> Sheet:
    left_off = (*sheet.choices.left_off, piece)
    return replace(sheet, choices=replace(sheet.choices, left_off=left_off))


def _content(sheet: Sheet) -> Content:
    """What takes room on a sheet, in the order in which it stands there."""
    names = f"Who: {', '.join(sheet.members)}. The first letter in a box says who did it."
    lines = (
        (line.slot, _words(line.title, line.cue and f"· {line.cue}", _minutes(line.minutes)))
        for line in sheet.lines
    )
    return Content(
        paper=sheet.choices.paper,
        across=sheet.choices.across,
        names=names if sheet.members else "",
        lines=tuple(lines),
        signs=any(box not in {"open", "none"} for line in sheet.lines for box in line.boxes),
        sections=tuple(section for section in map(tuple, _sections(sheet)) if section),
        writing=sheet.writing,
    )


def _back(sheet: Sheet) -> Content:
    """What takes room on the back page, whose texts stand in two columns whichever way it lies."""
    jobs = (tuple(map(Text, job.lines)) for job in sheet.jobs if job.lines)
    cautions = (
        (Text(f"{', '.join(one.beside)} {one.caution.text} Source: {one.caution.source}", boxed=False),)
        for one in sheet.cautions
    )
    sections = tuple(section for section in (*jobs, *cautions) if section)
    return Content(sheet.choices.paper, sheet.choices.across, "", (), sections, signs=False, writing=0)


def _sections(sheet: Sheet) -> Iterator[list[Text]]:
    yield [_job(job, back=sheet.choices.back) for job in sheet.jobs]
    told = [Text(sheet.area_text, boxed=False)] if sheet.area_text else []
    for number, area in enumerate(sheet.areas):
        tasks = [Text(_words(task.title, _minutes(task.minutes))) for task in area.tasks]
        yield [*(told if number == 0 else []), *tasks]
    yield [] if sheet.areas else told
    yield [text for dinner in sheet.dinners for text in _dinner(dinner)]
    if sheet.caution and not sheet.choices.back:
        yield [Text(f"{sheet.caution.title}. {sheet.caution.text}", boxed=False)]
    yield [Text(_words(DATE, due.time, due.name, due.amount)) for due in sheet.dues]
    yield [Text(title) for one in sheet.errands for title in (one.place, *one.titles)]


def _job(job: SheetJob, *, back: bool) -> Text:
    lines = None if back else " · ".join(["", *job.lines])
    later = f"· on {DATE}" if job.marked_on and job.marked_on != job.date else None
    return Text(_words(DATE, job.title, _minutes(job.minutes), later, lines))


def _dinner(dinner: SheetDinner) -> Iterator[Text]:
    if dinner.dish:
        yield Text(_words(DATE, dinner.time, dinner.dish), boxed=False)
    for thaw in dinner.thaw:
        yield Text(_words(DATE, thaw))


def _minutes(minutes: int) -> str | None:
    return f"· {minutes} min" if minutes else None


def _words(*parts: str | None) -> str:
    return " ".join(part for part in parts if part)
