"""`coach sheet`: a week on one page of paper, as PDF."""

from __future__ import annotations

from dataclasses import replace
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

from coach.commands.arguments import add_database, add_force, add_lessons, add_today, check_free, command
from coach.commands.data import opened
from coach.errors import DoesNotFit
from coach.ground.wording import lines_words
from coach.paper.sheet import sheet
from coach.press.printed import TooLong
from coach.store.files import write_whole
from coach.store.opening import open_existing
from coach.web.callers import HOUSEHOLD

if TYPE_CHECKING:
    import argparse

    from coach.commands.arguments import Parsers
    from coach.paper.answers import SheetChoices

PAPERS = ("a4", "letter")


def register(parsers: Parsers) -> None:
    """Add the command."""
    paper = command(parsers, "sheet", _sheet, "Print a week on one page, as PDF.")
    paper.add_argument("--week", metavar="WEEK", help="such as 2027-W05 (default: this week)")
    paper.add_argument("--paper", choices=PAPERS, help="default: what the household chose")
    way = paper.add_mutually_exclusive_group()
    way.add_argument("--across", action="store_true", default=None, help="the paper lies on its long side")
    way.add_argument(
        "--upright", dest="across", action="store_false", default=None, help="it stands on its short side"
    )
    paper.add_argument(
        "--out", metavar="FILE", type=Path, help="the file to write (default: week-2027-W05.pdf, by its week)"
    )
    add_database(paper)
    add_force(paper)
    add_lessons(paper)
    add_today(paper)


def _sheet(arguments: argparse.Namespace) -> int:
    with opened(arguments, open_existing) as context:
        found = sheet(context, HOUSEHOLD, arguments.week)
    file = arguments.out or Path(f"week-{found.week}.pdf")
    check_free(file, force=arguments.force)
    # The library is loaded when something is set, not with the command line.
    press = import_module("coach.press.sheet")
    made = press.sheet(replace(found, choices=_choices(found.choices, arguments)))
    if isinstance(made, TooLong):
        raise DoesNotFit(
            f"{_too_long(made)}, even in type of 8 points; {file} was not written. "
            "On the page of the sheet choose what to leave off."
        )
    write_whole(file, made.pdf)
    print(f"{file}: {found.title}, in type of {made.points:g} points.")
    return 0


def _too_long(made: TooLong) -> str:
    if made.lines:
        return f"The week is {lines_words(made.lines)} too long for one page"
    return f"The back page is {lines_words(made.back)} too long"


def _choices(chosen: SheetChoices, arguments: argparse.Namespace) -> SheetChoices:
    """What the household chose, but for what was named."""
    across = chosen.across if arguments.across is None else arguments.across
    return replace(chosen, paper=arguments.paper or chosen.paper, across=across)
