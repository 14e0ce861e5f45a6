"""`coach calendar`: what falls when, as a file for a calendar program that cannot fetch it."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from coach.calendar.answers import KINDS, USUAL
from coach.calendar.feed import calendar
from coach.commands.arguments import (
    STANDARD_STREAM,
    add_database,
    add_force,
    add_lessons,
    add_today,
    check_free,
    command,
)
from coach.commands.data import opened, refuse_database
from coach.store.files import write_whole
from coach.store.opening import open_existing
from coach.web.callers import HOUSEHOLD

if TYPE_CHECKING:
    import argparse

    from coach.commands.arguments import Parsers

NAME = "Steading"
"""What the calendar is called, where nobody has made one of a name."""


def register(parsers: Parsers) -> None:
    """Add the command."""
    parser = command(parsers, "calendar", _calendar, "Write what falls when as an iCalendar file.")
    parser.add_argument(
        "--out", metavar="FILE", default=STANDARD_STREAM, help="where to (default: the output)"
    )
    parser.add_argument(
        "--holds",
        metavar="KIND",
        nargs="+",
        choices=KINDS,
        default=list(USUAL),
        help=f"what it holds: {', '.join(KINDS)} (default: {', '.join(USUAL)})",
    )
    add_force(parser)
    add_database(parser)
    add_lessons(parser)
    add_today(parser)


def _calendar(arguments: argparse.Namespace) -> int:
    file = None if arguments.out == STANDARD_STREAM else Path(arguments.out)
    if file is not None:
        check_free(file, force=arguments.force)
        refuse_database(file, arguments)
    holds = [kind for kind in KINDS if kind in arguments.holds]
    with opened(arguments, open_existing) as context:
        body = calendar(context, HOUSEHOLD, NAME, holds).body
    if file is None:
        _say(body)
    else:
        write_whole(file, body)
    return 0


def _say(body: bytes) -> None:
    """Put the bytes out as they are, whatever encoding and ends of lines the output has."""
    stream = getattr(sys.stdout, "buffer", None)
    if stream is None:
        sys.stdout.write(body.decode())
    else:
        stream.write(body)
