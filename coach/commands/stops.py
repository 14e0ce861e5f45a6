"""`coach stops`: logs and their course in, where people stop out, as a table or as JSON."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

from coach.coaching.exported import stops_of_logs
from coach.coaching.library import find_course
from coach.coaching.rules.counts import ENDS, too_few
from coach.coaching.rules.stops import stops_json
from coach.coaching.rules.wilson import share
from coach.commands.arguments import STANDARD_STREAM, a_date, command
from coach.commands.replay import read_bytes
from coach.errors import Malformed
from coach.ground.wording import full_date

if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence
    from datetime import date

    from coach.coaching.rules.median import Median
    from coach.coaching.rules.stops import Stops
    from coach.commands.arguments import Parsers
    from coach.course.model import Course

TOO_FEW = "too few to tell"
COLUMNS = ("step", "entered", *ENDS, "open", "settled so far", "half settled by day")
NUMBERS = slice(1, 2 + len(ENDS) + 1)
"""The columns of whole numbers, which stand at the right."""


def register(parsers: Parsers) -> None:
    """Add the command."""
    parser = command(
        parsers, "stops", _stops, "Print where people stop in a course, worked out from exported logs."
    )
    parser.add_argument(
        "logs",
        nargs="+",
        metavar="LOG.csv",
        help="the log of each household: date,what,step,value (- reads one from the input)",
    )
    parser.add_argument("--course", required=True, metavar="FOLDER_OR_NAME", help="the course they follow")
    parser.add_argument("--on", required=True, metavar="DATE", type=a_date, help="the date, YYYY-MM-DD")
    parser.add_argument("--json", action="store_true", help="print one JSON object instead of a table")


def _stops(arguments: argparse.Namespace) -> int:
    course = find_course(arguments.course)
    _refuse_twice(arguments.logs)
    logs = {_called(name): read_bytes(name) for name in arguments.logs}
    found = stops_of_logs(course, logs, arguments.on)
    if arguments.json:
        print(json.dumps(_object(course, len(logs), arguments.on, found), ensure_ascii=False))
    else:
        _print_table(course, len(logs), arguments.on, found)
    return 0


def _called(name: str) -> str:
    return "the input" if name == STANDARD_STREAM else name


def _refuse_twice(names: Sequence[str]) -> None:
    """Refuse a log that is named twice, since its household would count twice.

    Raises:
        Malformed: One is.
    """
    seen: dict[Path, str] = {}
    for name in names:
        place = Path(name).resolve()
        if place in seen:
            raise Malformed(f"{_called(name)} is named twice; each household counts once. Name it once.")
        seen[place] = name


def _object(course: Course, households: int, on: date, found: Sequence[Stops]) -> dict[str, object]:
    return {
        "on": on.isoformat(),
        "course": course.title,
        "households": households,
        "steps": [stops_json(one) for one in found],
    }


def _print_table(course: Course, households: int, on: date, found: Sequence[Stops]) -> None:
    told = "1 household" if households == 1 else f"{households} households"
    print(f"{course.title}: {told}, as {full_date(on)} opens")
    rows = [COLUMNS, *(_cells(one) for one in found)]
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    numbers = range(len(COLUMNS))[NUMBERS]
    for row in rows:
        cells = (
            cell.rjust(width) if place in numbers else cell.ljust(width)
            for place, (cell, width) in enumerate(zip(row, widths, strict=True))
        )
        print("  ".join(cells).rstrip())


def _cells(one: Stops) -> tuple[str, ...]:
    numbers = (one.entered, *(one.ends[ending] for ending in ENDS), one.open)
    if too_few(one.entered):
        return (one.step, *map(str, numbers), TOO_FEW, TOO_FEW)
    return (one.step, *map(str, numbers), _share(one), _half(one.median))


def _share(one: Stops) -> str:
    """The share that has settled so far, with its interval."""
    found = share(one.ends["settled"], one.entered)
    return f"{100 * found.share:.0f} % ({100 * found.low:.0f} to {100 * found.high:.0f})"


def _half(median: Median) -> str:
    """The day by which half have settled, with its interval."""
    if median.day is None:
        return "not reached"
    if median.low is None:
        return str(median.day)
    return f"{median.day} ({median.low} {'or later' if median.high is None else f'to {median.high}'})"
