"""The parser that says what is wrong in one line, and the arguments that several commands share."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

from coach.errors import Malformed
from coach.progress.days import iso_date

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import date

    Parsers = argparse._SubParsersAction[Any]  # noqa: SLF001  argparse has no public name for it

BAD_ARGUMENTS = 2
STANDARD_STREAM = "-"


class Parser(argparse.ArgumentParser):
    """A parser whose complaint is one line that names the way to the help."""

    def error(self, message: str) -> NoReturn:
        """Say what is wrong and end with status 2."""
        self.exit(BAD_ARGUMENTS, f"{self.prog}: {message} (see {self.prog} --help)\n")


def command(
    parsers: Parsers, name: str, run: Callable[[argparse.Namespace], int], about: str
) -> argparse.ArgumentParser:
    """A parser for one command, with the function that runs it and gives the exit status."""
    parser: argparse.ArgumentParser = parsers.add_parser(name, help=about, description=about)
    parser.set_defaults(run=run)
    return parser


def a_date(text: str) -> date:
    """A date argument, YYYY-MM-DD."""
    try:
        return iso_date(text)
    except Malformed as error:
        raise argparse.ArgumentTypeError(str(error)) from None


def add_database(parser: argparse.ArgumentParser) -> None:
    """The argument that names the database."""
    parser.add_argument(
        "--database",
        metavar="URL",
        help="sqlite:///FILE or postgresql://... (default: a file in your data folder)",
    )


def add_force(parser: argparse.ArgumentParser) -> None:
    """The argument that lets a file be replaced."""
    parser.add_argument("--force", action="store_true", help="replace the file if it is there already")


def check_free(file: Path, *, force: bool) -> None:
    """Refuse a file that is there already, unless it may be replaced.

    Raises:
        Malformed: It is there.
    """
    if file.is_file() and not force:
        raise Malformed(
            f"{file} is there already and was left as it is. Name another file, or replace it with --force."
        )


def add_lessons(parser: argparse.ArgumentParser) -> None:
    """The argument that names the lessons."""
    parser.add_argument(
        "--lessons",
        metavar="FOLDER",
        type=Path,
        help="a folder of lessons, or one course (default: the lessons that come with Steading)",
    )


def add_today(parser: argparse.ArgumentParser) -> None:
    """The argument that tries another day."""
    parser.add_argument("--today", metavar="DATE", type=a_date, help="another day to try, YYYY-MM-DD")
