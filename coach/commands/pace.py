"""`coach pace`: how long a course takes: exactly, simulated for many, or one rule beside another."""

from __future__ import annotations

import argparse
import json
from typing import TYPE_CHECKING

from coach.coaching.library import find_course
from coach.commands.arguments import command, whole_number
from coach.commands.pace_compared import as_object, comparison, print_table
from coach.errors import Malformed
from coach.pace.comparing import ADHERENCES, BEGINS, ENDS, Asked, Quiet
from coach.pace.distribution import LONGEST
from coach.pace.exact import exact
from coach.progress.paces import STANDARD

if TYPE_CHECKING:
    from coach.commands.arguments import Parsers
    from coach.course.model import Course
    from coach.pace.exact import Exact

SHIPPED = "three-weeks"
MOST_SEED = 2**63 - 1


def register(parsers: Parsers) -> None:
    """Add the command."""
    parser = command(
        parsers, "pace", _pace, "Work out how long a course takes, and what stricter or easier rules cost."
    )
    parser.add_argument(
        "--adherence", type=chance, metavar="P", help="the chance that a due day is kept, 0 to 1"
    )
    parser.add_argument(
        "--course", default=SHIPPED, metavar="FOLDER_OR_NAME", help=f"the course (default: {SHIPPED})"
    )
    parser.add_argument(
        "--pace", default=STANDARD, metavar="NAME", help="a pace of the course (default: standard)"
    )
    parser.add_argument(
        "--compare", metavar="RULES", help="rules beside each other, such as 2of3,3of4: kept of the latest"
    )
    parser.add_argument(
        "--drop-a-day", type=chance, metavar="P", help="the chance, each day, that a household falls quiet"
    )
    parser.add_argument(
        "--back-a-day", type=chance, metavar="P", help="the chance, each day, that a quiet one marks again"
    )
    parser.add_argument(
        "--seed",
        type=whole_number(0, MOST_SEED),
        metavar="N",
        default=1,
        help="of the numbers drawn (default: 1)",
    )
    parser.add_argument("--json", action="store_true", help="print one JSON object instead of a table")


def chance(text: str) -> float:
    """A number from 0 to 1."""
    try:
        found = float(text)
    except ValueError:
        found = -1.0
    if not 0 <= found <= 1:
        raise argparse.ArgumentTypeError(f"it needs a chance from 0 to 1, such as 0.8, not “{text}”")
    return found


def _pace(arguments: argparse.Namespace) -> int:
    course = find_course(arguments.course)
    if arguments.compare is not None:
        return _compare(course, arguments)
    if arguments.adherence is None:
        raise Malformed("Say how likely a due day is kept: --adherence 0.8")
    found = exact(course, arguments.pace, arguments.adherence)
    if arguments.json:
        print(json.dumps(_object(found)))
    else:
        _print_table(course, arguments.pace, arguments.adherence, found)
    return 0


def _compare(course: Course, arguments: argparse.Namespace) -> int:
    quiet = Quiet(
        BEGINS if arguments.drop_a_day is None else arguments.drop_a_day,
        ENDS if arguments.back_a_day is None else arguments.back_a_day,
    )
    adherences = ADHERENCES if arguments.adherence is None else (arguments.adherence,)
    asked = Asked(arguments.pace, adherences, quiet, seed=arguments.seed)
    found = comparison(course, arguments.compare, asked)
    if arguments.json:
        print(json.dumps(as_object(course, asked, found), ensure_ascii=False))
    else:
        print_table(course, asked, found)
    return 0


def _object(found: Exact) -> dict[str, object]:
    steps = [{"step": one.step, "mean": one.mean} for one in found.steps]
    return {"mean": found.mean, **found.quantiles(), "steps": steps}


def _print_table(course: Course, pace: str, adherence: float, found: Exact) -> None:
    print(f"{course.title}, {pace} pace, each due day kept with chance {adherence:g}:")
    print("days until the last waiting step has settled")
    print(f"  mean                      {_said(found.mean)}")
    quantiles = found.quantiles()
    for name, words in (("p10", "1 in 10"), ("p50", "1 in 2"), ("p80", "8 in 10"), ("p90", "9 in 10")):
        print(f"  with a chance of {words:<9}{_day(quantiles[name])}")
    width = max(len(one.step) for one in found.steps)
    print("days a step takes, on average")
    for one in found.steps:
        print(f"  {one.step:<{width}}  {_said(one.mean)}")
    print("Days are taken to be independent; holds and lapses are left out.")


def _said(mean: float | None) -> str:
    if mean is None:
        return "never"
    return f"{mean:.1f}" if mean <= LONGEST else "more than a hundred years"


def _day(day: int | None) -> str:
    return "not within a hundred years" if day is None else str(day)
