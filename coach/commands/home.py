"""`coach rotation` and `coach thaw`: the home plan's sums on their own (home rules)."""

from __future__ import annotations

import argparse
import json
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, TypeVar

from coach.areas.rules.rotation import (
    MINUTES_A_WEEK,
    MOST_AREAS,
    MOST_MINUTES,
    Mode,
    Rotation,
    turns,
)
from coach.commands.arguments import a_date, command, whole_number
from coach.errors import Malformed
from coach.ground.weeks import WeekStart
from coach.kitchen.rules.dinner import COOKING_MINUTES, MOST_COOKING, Kind, Weight, thaw, weight_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable
    from datetime import date

    from coach.areas.rules.rotation import Turn
    from coach.commands.arguments import Parsers
    from coach.kitchen.rules.dinner import Thaw

MOST_WEEKS = 100_000
COMMAND_MODES = (Mode.CONTINUOUS, Mode.MONTH)
"""The ways of taking turns that need nothing but a calendar; by need hangs on what was done."""
WEEK_STARTS = {"mon": WeekStart.MONDAY, "sun": WeekStart.SUNDAY}

T = TypeVar("T")


def register(parsers: Parsers) -> None:
    """Add the commands."""
    rotation = command(parsers, "rotation", _rotation, "Print which area has its turn in which week.")
    rotation.add_argument(
        "--areas",
        required=True,
        metavar="N",
        type=whole_number(1, MOST_AREAS),
        help=f"how many areas the home has, 1 to {MOST_AREAS}",
    )
    rotation.add_argument(
        "--mode",
        choices=[mode.value for mode in COMMAND_MODES],
        default=Mode.CONTINUOUS.value,
        help="default: continuous",
    )
    rotation.add_argument("--week-starts", choices=tuple(WEEK_STARTS), default="mon", help="default: mon")
    rotation.add_argument(
        "--from", dest="start", required=True, metavar="DATE", type=a_date, help="the start date, YYYY-MM-DD"
    )
    rotation.add_argument(
        "--weeks",
        required=True,
        metavar="K",
        type=whole_number(1, MOST_WEEKS),
        help="how many weeks to print",
    )
    rotation.add_argument(
        "--first",
        metavar="A",
        type=whole_number(1, MOST_AREAS),
        default=1,
        help="the area of the first week (default: 1); by month, week w is area w's whatever is said here",
    )
    rotation.add_argument(
        "--away",
        metavar="FROM..TO",
        type=_dates,
        nargs="+",
        action="extend",
        default=[],
        help="dates paused or lapsed; in continuous mode a week of nothing else leaves its area waiting, "
        "so the next week shows the same area again",
    )
    rotation.add_argument(
        "--minutes",
        metavar="M",
        type=whole_number(1, MOST_MINUTES),
        default=MINUTES_A_WEEK,
        help=f"minutes of a week's turn (default: {MINUTES_A_WEEK})",
    )
    _register_thaw(parsers)


def _register_thaw(parsers: Parsers) -> None:
    parser = command(parsers, "thaw", _thaw, "Print when to take frozen food out so that it thaws safely.")
    parser.add_argument(
        "--weight", required=True, type=_read_by(weight_of), metavar="WEIGHT", help="such as 14lb or 6.4kg"
    )
    parser.add_argument("--kind", required=True, choices=[kind.value for kind in Kind], help="what is frozen")
    parser.add_argument(
        "--dinner",
        required=True,
        type=_a_time,
        metavar="TIME",
        help="when dinner is, such as 2027-01-10T18:00",
    )
    parser.add_argument(
        "--cooking",
        metavar="MINUTES",
        type=whole_number(0, MOST_COOKING),
        default=COOKING_MINUTES,
        help=f"minutes the dish cooks (default: {COOKING_MINUTES})",
    )


def _read_by(read: Callable[[str], T]) -> Callable[[str], T]:
    """The same reading, with what is wrong said as argparse wants it."""

    def argument(text: str) -> T:
        try:
            return read(text)
        except Malformed as error:
            raise argparse.ArgumentTypeError(str(error)) from None

    return argument


def _dates(text: str) -> tuple[date, date]:
    first, dots, last = text.partition("..")
    if not dots:
        raise argparse.ArgumentTypeError(f"“{text}” is not FROM..TO, such as 2027-01-11..2027-01-17")
    since, until = a_date(first), a_date(last)
    if since > until:
        raise argparse.ArgumentTypeError(f"{since} comes after {until}: the first date goes first")
    return since, until


def _a_time(text: str) -> datetime:
    try:
        return datetime.strptime(text, "%Y-%m-%dT%H:%M")  # noqa: DTZ007  a wall time, wherever the kitchen is
    except ValueError:
        message = f"“{text}” is not a date and time; write it as YYYY-MM-DDTHH:MM, such as 2027-01-10T18:00"
        raise argparse.ArgumentTypeError(message) from None


def _rotation(arguments: argparse.Namespace) -> int:
    rotation = Rotation(
        areas=arguments.areas,
        start=arguments.start,
        mode=Mode(arguments.mode),
        starts=WEEK_STARTS[arguments.week_starts],
        first=arguments.first,
        minutes_a_week=arguments.minutes,
    )
    away = frozenset(_days(arguments.away))
    for turn in turns(rotation, rotation.first_week, 0, arguments.weeks, away.__contains__):
        print(json.dumps(_turn_json(turn)))
    return 0


def _days(ranges: Iterable[tuple[date, date]]) -> Iterable[date]:
    for since, until in ranges:
        yield from (since + timedelta(days=ahead) for ahead in range((until - since).days + 1))


def _turn_json(turn: Turn) -> dict[str, object]:
    return {
        "week": turn.week.isoformat(),
        "areas": list(turn.areas),
        "minutes": list(turn.minutes),
        "catch_up": turn.catch_up,
    }


def _thaw(arguments: argparse.Namespace) -> int:
    weight: Weight = arguments.weight
    print(json.dumps(_thaw_json(thaw(weight, Kind(arguments.kind), arguments.dinner, arguments.cooking))))
    return 0


def _thaw_json(times: Thaw) -> dict[str, str]:
    return {
        "refrigerator_by": times.refrigerator_by.isoformat(),
        "not_before": times.not_before.isoformat(),
        "cold_water_by": times.cold_water_by.isoformat(timespec="minutes"),
    }
