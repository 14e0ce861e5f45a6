"""`coach pace`: how long a course takes: exactly, simulated for many, or one rule beside another."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from coach.coaching.library import find_course
from coach.commands.arguments import command, whole_number
from coach.commands.pace_options import check_unasked, register_simulation
from coach.errors import Malformed
from coach.progress.paces import STANDARD

if TYPE_CHECKING:
    from coach.commands.arguments import Parsers

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
    register_simulation(parser)
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
    if arguments.households is None:
        check_unasked(arguments)
    course = find_course(arguments.course)
    if arguments.households is not None:
        from coach.commands import pace_simulated  # noqa: PLC0415  other commands' help needs no NumPy

        return pace_simulated.simulate(course, arguments)
    if arguments.compare is not None:
        from coach.commands import pace_compared  # noqa: PLC0415  the same

        pace_compared.tell(course, arguments)
    elif arguments.adherence is not None:
        from coach.commands import pace_exact  # noqa: PLC0415  the same

        pace_exact.tell(course, arguments)
    else:
        raise Malformed("Say how likely a due day is kept: --adherence 0.8")
    return 0
