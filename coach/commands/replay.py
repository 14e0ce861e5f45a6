"""`coach replay`: a log and a course in, standings out as JSON (rules §7)."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from coach.coaching.library import find_course
from coach.commands.arguments import STANDARD_STREAM, a_date, command
from coach.errors import FaultyFile, Malformed
from coach.progress.csvform import read_log, text_of
from coach.progress.log_check import check_paces
from coach.progress.replay import each_day, replay
from coach.progress.standing import replay_json

if TYPE_CHECKING:
    import argparse

    from coach.commands.arguments import Parsers
    from coach.course.model import Course
    from coach.progress.log import Row


def register(parsers: Parsers) -> None:
    """Add the command."""
    parser = command(parsers, "replay", _replay, "Print where a household stands, worked out from its log.")
    parser.add_argument(
        "log", metavar="LOG.csv", help="the log: date,what,step,value (- reads it from the input)"
    )
    parser.add_argument("--course", required=True, metavar="FOLDER_OR_NAME", help="the course it follows")
    parser.add_argument("--on", required=True, metavar="DATE", type=a_date, help="the date, YYYY-MM-DD")
    parser.add_argument("--each-day", action="store_true", help="one line for every day from the start")


def _replay(arguments: argparse.Namespace) -> int:
    course = find_course(arguments.course)
    rows = _rows(arguments.log, course)
    if arguments.each_day:
        for standing in each_day(course, rows, arguments.on):
            print(json.dumps(replay_json(standing), ensure_ascii=False))
    else:
        print(json.dumps(replay_json(replay(course, rows, arguments.on)), ensure_ascii=False))
    return 0


def _rows(name: str, course: Course) -> tuple[Row, ...]:
    called = "the input" if name == STANDARD_STREAM else Path(name).name
    log = read_log(text_of(read_bytes(name), called), called)
    faults = log.faults or check_paces(log, course, called)
    if faults:
        raise FaultyFile(faults)
    return log.rows


def read_bytes(name: str) -> bytes:
    """What a file holds, or the standard input.

    Raises:
        Malformed: It cannot be read.
    """
    try:
        return sys.stdin.buffer.read() if name == STANDARD_STREAM else Path(name).read_bytes()
    except OSError as error:
        raise Malformed(f"{name} cannot be read: {error.strerror}.") from error
