"""What `coach pace --households` takes; apart, so that the help of all commands loads no arrays."""

from __future__ import annotations

import argparse
from dataclasses import dataclass
from pathlib import Path

from coach.commands.arguments import whole_number
from coach.errors import Malformed
from coach.pace.sizes import LOT, MOST_HOUSEHOLDS

MOST_DAYS = 3660
MOST_PROCESSES = 256
DAYS = 120
_OWN = ("adherence_spread", "days", "csv", "svg", "block", "processes", "cluster")
_BETWEEN = ".."


@dataclass(frozen=True, slots=True)
class Spread:
    """The chances of keeping a due line of who keeps least and of who keeps most."""

    lowest: float
    highest: float


def register_simulation(parser: argparse.ArgumentParser) -> None:
    """Add what only a simulation takes."""
    parser.add_argument(
        "--households",
        type=whole_number(1, MOST_HOUSEHOLDS),
        metavar="N",
        help="simulate so many households, with holds, lapses and returns",
    )
    parser.add_argument(
        "--adherence-spread",
        type=spread,
        metavar="LOW..HIGH",
        help="households keep a due line with chances that lie evenly between, such as 0.7..0.95",
    )
    parser.add_argument(
        "--days", type=whole_number(1, MOST_DAYS), metavar="D", help=f"for so many days (default: {DAYS})"
    )
    parser.add_argument("--csv", type=Path, metavar="FILE", help="write one line a day to this file")
    parser.add_argument("--svg", type=Path, metavar="FILE", help="draw the shares of phases into this file")
    parser.add_argument(
        "--block",
        type=whole_number(1, MOST_HOUSEHOLDS),
        metavar="N",
        help=f"households worked out in one go, in whole lots of {LOT} (default: {LOT})",
    )
    parser.add_argument(
        "--processes",
        type=whole_number(1, MOST_PROCESSES),
        metavar="N",
        help="processes of this machine that share the work (default: 1)",
    )
    parser.add_argument(
        "--cluster", metavar="ADDRESS", help="the scheduler of a dask cluster that does it instead"
    )


def spread(text: str) -> Spread:
    """Two chances, such as 0.7..0.95."""
    low, between, high = text.partition(_BETWEEN)
    try:
        found = Spread(float(low), float(high))
    except ValueError:
        found = Spread(-1.0, -1.0)
    if not between or not 0 <= found.lowest <= found.highest <= 1:
        raise argparse.ArgumentTypeError(
            f"it needs two chances from 0 to 1, the lower one first, such as 0.7..0.95, not “{text}”"
        )
    return found


def check_unasked(arguments: argparse.Namespace) -> None:
    """Refuse what only a simulation takes where none is asked for.

    Raises:
        Malformed: With what to add.
    """
    for name in _OWN:
        if getattr(arguments, name) is not None:
            option = name.replace("_", "-")
            raise Malformed(f"--{option} is for a simulation: add --households 100000, or leave it out.")
