"""`coach pace --households`: many households simulated, as a table, JSON, CSV and a picture."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from coach.commands.pace_options import DAYS, Spread
from coach.commands.pace_report import as_csv, as_object, print_tables
from coach.errors import Malformed
from coach.pace.lots import Simulation, begun
from coach.pace.opening import PHASES
from coach.pace.sizes import LOT
from coach.pace.spreading import simulated
from coach.store.files import write_whole

if TYPE_CHECKING:
    import argparse
    from collections.abc import Callable
    from pathlib import Path

    from coach.course.model import Course
    from coach.pace.tally import Tally


def simulate(course: Course, arguments: argparse.Namespace) -> int:
    """Simulate and tell.

    Raises:
        SteadingError: Something asked for cannot be done; nothing was written.
    """
    if arguments.compare is not None:
        raise Malformed("--compare and --households are two questions. Ask one at a time.")
    _check_files(arguments)
    asked = _asked(course, arguments)
    tally = _worked_out(asked, arguments)
    _write(course, asked, tally, arguments)
    if arguments.json:
        print(json.dumps(as_object(course, arguments.pace, asked, tally), ensure_ascii=False))
        return 0
    print_tables(course, arguments.pace, asked, tally)
    for file, what in ((arguments.csv, "days are"), (arguments.svg, "picture is")):
        if file is not None:
            print(f"The {what} in {file}.")
    return 0


def _asked(course: Course, arguments: argparse.Namespace) -> Simulation:
    rules, first = begun(course, arguments.pace)
    kept = _adherence(arguments)
    return Simulation(
        rules=rules,
        first=first,
        households=arguments.households,
        days=arguments.days or DAYS,
        seed=arguments.seed,
        lowest=kept.lowest,
        highest=kept.highest,
        begins=arguments.drop_a_day or 0.0,
        ends=arguments.back_a_day or 0.0,
    )


def _adherence(arguments: argparse.Namespace) -> Spread:
    among: Spread | None = arguments.adherence_spread
    if arguments.adherence is None and among is None:
        raise Malformed(
            "Say how likely a due line is kept: --adherence 0.8 for everybody, or "
            "--adherence-spread 0.7..0.95."
        )
    if among is None:
        return Spread(arguments.adherence, arguments.adherence)
    if arguments.adherence is not None:
        raise Malformed("Either all keep alike, --adherence, or not, --adherence-spread. Leave one out.")
    return among


def _worked_out(asked: Simulation, arguments: argparse.Namespace) -> Tally:
    block = arguments.block or LOT
    if arguments.cluster is None:
        return simulated(asked, block, arguments.processes or 1)
    if arguments.processes is not None:
        raise Malformed("--processes is for this machine, and --cluster for others. Leave one out.")
    from coach.pace.cluster import simulated_on  # noqa: PLC0415  nobody else needs it

    return simulated_on(arguments.cluster, asked, block)


def _check_files(arguments: argparse.Namespace) -> None:
    """Refuse, before the work begins, what cannot be written after it."""
    files = [file for file in (arguments.csv, arguments.svg) if file is not None]
    for file in files:
        if file.is_dir():
            raise Malformed(f"{file} is a folder. Name a file in it.")
        if not file.resolve().parent.is_dir():
            raise Malformed(f"There is no folder {file.resolve().parent} to write {file.name} into.")
    if len(files) > len({file.resolve() for file in files}):
        raise Malformed(f"{files[0]} cannot be both. Name one file for --csv and another one for --svg.")


def _write(course: Course, asked: Simulation, tally: Tally, arguments: argparse.Namespace) -> None:
    """Write what was asked for, each file whole or not at all."""
    ways: list[tuple[Path | None, Callable[[], str]]] = [
        (arguments.csv, lambda: as_csv(tally)),
        (arguments.svg, lambda: _picture(course, asked, tally, arguments.pace)),
    ]
    for file, made in ways:
        if file is not None:
            write_whole(file, made().encode(), private=False)


def _picture(course: Course, asked: Simulation, tally: Tally, pace: str) -> str:
    from coach.web.drawing import phases_svg  # noqa: PLC0415  a table needs no templates

    many = "1 household" if asked.households == 1 else f"{asked.households:,} households"
    among = f"{many} simulated, {pace} pace"
    by_day = dict(zip(PHASES, tally.phases.T.tolist(), strict=True))
    return phases_svg(course.title, among, asked.households, by_day)
