"""`coach course`: a course as one file, one that is brought here, and its lessons read through beforehand."""

from __future__ import annotations

from html import escape
from pathlib import Path
from typing import TYPE_CHECKING

from coach.coaching import bringing
from coach.coaching.library import find_course
from coach.coaching.packed_courses import folder_course
from coach.coaching.preview import RATES, preview, rate_of
from coach.commands.arguments import add_database, add_force, check_free, command, counted
from coach.commands.replay import read_bytes
from coach.errors import FaultyFile, Malformed, StoreError
from coach.ground.prose import render

if TYPE_CHECKING:
    import argparse

    from coach.coaching.preview import Preview, PreviewLesson
    from coach.commands.arguments import Parsers

REFUSED = 1


def register(kinds: Parsers) -> None:
    """Add the commands to those of `coach course`."""
    pack = command(kinds, "pack", _pack, "Check a course and write it, with its own texts, into one file.")
    pack.add_argument("folder", type=Path, metavar="FOLDER", help="the course's folder")
    pack.add_argument("--out", type=Path, metavar="FILE", required=True, help="the file to write")
    add_force(pack)
    add = command(kinds, "add", _add, "Check a packed course and keep it, so that it can be followed here.")
    add.add_argument("file", type=Path, metavar="FILE", help="a file that coach course pack wrote")
    add.add_argument(
        "--coach", metavar="NAME", help="where many are hosted: the coach whose groups may follow it"
    )
    add_database(add)
    seen = command(
        kinds, "preview", _preview, "Print every lesson in the order in which it comes, with its day."
    )
    seen.add_argument("course", metavar="FOLDER_OR_NAME", help="a course's folder, or a shipped course")
    rates = ", ".join(map(str, RATES))
    seen.add_argument("--kept", metavar="SHARE", default="1.0", help=f"the share of lines kept: {rates}")
    seen.add_argument("--out", type=Path, metavar="FILE.html", help="write one page for a browser instead")
    add_force(seen)


def _pack(arguments: argparse.Namespace) -> int:
    check_free(arguments.out, force=arguments.force)
    if not arguments.folder.is_dir():
        raise Malformed(f"There is no folder {arguments.folder}.")
    try:
        found = folder_course(arguments.folder)
    except FaultyFile as error:
        return _refused(error)
    _write(arguments.out, found.packed)
    files, digest = counted(len(found.files), "file"), found.digest[:12]
    print(f"{arguments.out} holds “{found.course.title}” ({found.id}): {files}, version {digest}.")
    if not found.course.licence:
        print(
            "warning: course.toml: “licence” is missing; whoever gets the file cannot know what they may do"
        )
    return 0


def _refused(error: FaultyFile) -> int:
    """Name every fault, as `coach course check` does."""
    for fault in error.faults:
        print(fault)
    if error.more:
        print(f"and {counted(error.more, 'more fault')}")
    print(f"Refused: {counted(error.count, 'fault')}.")
    return REFUSED


def _write(file: Path, content: bytes) -> None:
    try:
        file.write_bytes(content)
    except OSError as error:
        raise StoreError(f"{file} cannot be written: {error.strerror}.") from error


def _add(arguments: argparse.Namespace) -> int:
    from coach.commands.data import opened  # noqa: PLC0415  the other commands need no database

    content = read_bytes(str(arguments.file))
    with opened(arguments) as context:
        coach = bringing.coach_called(context, arguments.coach) if arguments.coach else ""
        try:
            found = bringing.bring(context, content, arguments.file.name, coach)
        except FaultyFile as error:
            return _refused(error)
    known = "" if found.is_new else " This version was here already."
    steps = counted(found.steps, "step")
    print(f"“{found.title}” is kept here: {steps}, version {found.digest[:12]}.{known}")
    if coach:
        print(f"{arguments.coach} can choose it for a group.")
    else:
        print(f"Households that start here follow it with COACH_COURSE={found.name}.")
    return 0


def _preview(arguments: argparse.Namespace) -> int:
    found = preview(find_course(arguments.course), rate_of(arguments.kept))
    if arguments.out is None:
        print("\n".join(_lines(found)))
        return 0
    check_free(arguments.out, force=arguments.force)
    _write(arguments.out, _page(found).encode())
    print(
        f"{arguments.out} shows {counted(len(found.came), 'lesson')}, and {len(found.never)} that never come."
    )
    return 0


def _about(found: Preview) -> str:
    rate = "everything kept" if found.kept == 1 else f"{found.kept:.0%} of the lines kept"
    seed = (
        ""
        if found.kept == 1
        else f"; which ones follows from the number {found.seed}, so it is the same each time"
    )
    return f"With {rate}, at the standard pace, started on a Monday{seed}. {found.days} days are looked at."


def _lines(found: Preview) -> list[str]:
    lines = [found.title, _about(found)]
    for lesson in found.came:
        lines += ["", f"Day {lesson.day}: {_place(lesson)}", lesson.title, "", lesson.markdown.strip()]
    if found.never:
        lines += ["", f"Never within {found.days} days:"]
        lines += [f"- {_place(lesson)}: {lesson.title}" for lesson in found.never]
    return lines


def _place(lesson: PreviewLesson) -> str:
    return f"{lesson.step_title} ({lesson.step}), lesson {lesson.number} of {lesson.of}"


_STYLE = (
    "body{font:1.0625rem/1.5 serif;max-width:22.5rem;margin:1rem auto;padding:0 1rem}article{margin:2rem 0}"
)


def _page(found: Preview) -> str:
    """The lessons as one page that needs nothing else, as wide as a phone."""
    parts = [f"<h1>{escape(found.title)}</h1>", f"<p>{escape(_about(found))}</p>"]
    for lesson in found.came:
        place = escape(f"Day {lesson.day}: {_place(lesson)}")
        parts.append(
            f"<article><p>{place}</p><h2>{escape(lesson.title)}</h2>{render(lesson.markdown)}</article>"
        )
    if found.never:
        items = "".join(f"<li>{escape(f'{_place(one)}: {one.title}')}</li>" for one in found.never)
        parts.append(f"<h2>Never within {found.days} days</h2><ul>{items}</ul>")
    head = '<meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">'
    title = f"<title>{escape(found.title)}</title><style>{_STYLE}</style>"
    return (
        f'<!doctype html><html lang="en-GB"><head>{head}{title}</head><body>{"".join(parts)}</body></html>\n'
    )
