"""`coach course`: check, show, draw and begin a course folder, and the commands about its one file."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from coach.coaching import courses
from coach.coaching.folder_check import check
from coach.coaching.library import USUAL, find_course
from coach.commands import course_files
from coach.commands.arguments import Parser, command, counted
from coach.course.new import starter
from coach.errors import Malformed, StoreError
from coach.progress.delivery import LAST_DAY

if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence

    from coach.coaching.courses import CourseLine, LessonLine
    from coach.commands.arguments import Parsers

REFUSED = 1
LATE = f"has not come by day {LAST_DAY}."
LESSON_COLUMNS = ("day", "step", "lesson", "title")
COLUMNS = ("step", "title", "slot", "min", "repeats", "after", "settles at", "comes", "settles")


def register(parsers: Parsers) -> None:
    """Add the commands."""
    about = "Check, show, draw, begin, read through, pack or bring a course: a folder of lessons."
    group = parsers.add_parser("course", help=about, description=about)
    kinds = group.add_subparsers(title="commands", metavar="COMMAND", required=True, parser_class=Parser)
    checking = command(
        kinds, "check", _check, "Name every fault of a course or a folder of lessons, and what is doubtful."
    )
    checking.add_argument("folder", type=Path, metavar="FOLDER", help="a folder to check")
    show = command(kinds, "show", _show, "Print the graph as a table, with the day each step comes on.")
    draw = command(kinds, "draw", _draw, "Draw the graph as an SVG picture.")
    draw.add_argument("file", type=Path, metavar="FILE.svg", help="the picture to write")
    new = command(kinds, "new", _new, "Begin a course folder that passes the check.")
    new.add_argument("folder", type=Path, metavar="FOLDER", help="the folder to make")
    course_files.register(kinds)
    for parser in (show, draw):
        parser.add_argument(
            "course", nargs="?", default=USUAL, metavar="FOLDER_OR_NAME", help=f"default: {USUAL}"
        )


def _check(arguments: argparse.Namespace) -> int:
    if not arguments.folder.is_dir():
        raise Malformed(f"There is no folder {arguments.folder}.")
    checked = check(arguments.folder)
    for fault in checked.faults:
        print(fault)
    if checked.faults.more:
        print(f"and {counted(checked.faults.more, 'more fault')}")
    for doubt in checked.doubts:
        print(f"warning: {doubt}")
    if checked.doubts.more:
        print(f"and {counted(checked.doubts.more, 'more warning')}")
    if checked.faults:
        print(f"Refused: {counted(checked.faults.number, 'fault')}.")
        return REFUSED
    named = [f"{course.title}: {counted(len(course.steps), 'step')}" for course in checked.courses]
    read = "; ".join(named) or "Lessons without a course"
    print(f"{read}, no faults, {counted(checked.doubts.number, 'warning')}.")
    return 0


def _show(arguments: argparse.Namespace) -> int:
    course = find_course(arguments.course)
    print(course.title)
    _print_table([COLUMNS, *(_cells(line) for line in courses.table(course))])
    _print_calendar(courses.calendar(course))
    return 0


def _print_table(rows: Sequence[tuple[str, ...]]) -> None:
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    for row in rows:
        print("  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip())


def _print_calendar(lines: Sequence[LessonLine]) -> None:
    """The lessons day by day when everything is kept, and those that would come too late."""
    if not lines:
        print("\nThis course is too large for a calendar of its lessons.")
        return
    print("\nIts lessons with everything kept, at the standard pace")
    on_time = [(f"{line.day:3}", line.step, f"{line.number}", line.title) for line in lines if line.day]
    _print_table([LESSON_COLUMNS, *on_time])
    for line in lines:
        if line.day is None:
            print(f"warning: {line.step}: lesson {line.number}, “{line.title}”, {LATE}")


def _cells(line: CourseLine) -> tuple[str, ...]:
    return (
        line.step,
        line.title,
        line.slot,
        str(line.minutes),
        line.repeats,
        line.after,
        line.rule,
        f"day {line.comes}" if line.comes else "",
        f"day {line.settles}" if line.settles else "",
    )


def _draw(arguments: argparse.Namespace) -> int:
    from coach.web.drawing import course_svg  # noqa: PLC0415  the other commands need no templates

    svg = course_svg(find_course(arguments.course))
    try:
        arguments.file.write_text(svg, encoding="utf-8")
    except OSError as error:
        raise StoreError(f"{arguments.file} cannot be written: {error.strerror}.") from error
    print(f"The picture is in {arguments.file}.")
    return 0


def _new(arguments: argparse.Namespace) -> int:
    folder: Path = arguments.folder
    try:
        folder.mkdir(parents=True, exist_ok=True)
        if any(folder.iterdir()):
            raise Malformed(f"{folder} is not empty. Name a new folder, so that nothing is overwritten.")
        for name, text in starter().items():
            (folder / name).write_text(text, encoding="utf-8")
    except OSError as error:
        raise StoreError(f"{folder} cannot be made: {error.strerror}.") from error
    print(f"{folder} holds a course to change. Try: coach course check {folder}")
    return 0
