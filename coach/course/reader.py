"""The files of lessons, read into values; the one place of the core that opens files."""

from __future__ import annotations

import os
import stat
from typing import TYPE_CHECKING, TypeVar

from coach.course.file_names import is_lesson_name, may_be_meant
from coach.course.groups import GROUPS_FILE, StepGroup, groups_of
from coach.course.readings import (
    BEGINNING,
    COURSE_FILE,
    Contents,
    Part,
    Reading,
    catalogue_reading,
    course_reading,
    readable,
    rooms_reading,
    starters_reading,
    texts_reading,
)
from coach.course.rooms import RoomKind, is_room_file
from coach.course.texts import TextFile, cautions_of
from coach.errors import Fault, FaultyFile

if TYPE_CHECKING:
    from collections.abc import Callable, Collection
    from pathlib import Path

    from coach.course.drafts import Draft
    from coach.course.model import Caution, Course, Step
    from coach.course.starters import Starter
    from coach.course.texts import TextDraft

__all__ = [
    "COURSE_FILE",
    "Reading",
    "TextFile",
    "files_of",
    "load_course",
    "look_at_catalogue",
    "look_at_rooms",
    "look_at_starters",
    "look_at_texts",
    "read_catalogue",
    "read_cautions",
    "read_course",
    "read_groups",
    "read_rooms",
    "read_starters",
    "read_texts",
]

MOST_BYTES = 250_000
"""The most one file may hold; a step with its lessons has about ten thousand."""

MOST_FILES = 500
"""How many files one folder of lessons may have: more steps than somebody could begin in a year."""

_Found = TypeVar("_Found")
_MEGABYTE = 1_000_000
_KINDS = (
    (stat.S_ISFIFO, "a named pipe"),
    (stat.S_ISCHR, "a device"),
    (stat.S_ISBLK, "a device"),
    (stat.S_ISSOCK, "a socket"),
    (stat.S_ISDIR, "a folder"),
)


def read_course(folder: Path) -> Reading:
    """Read a course folder and find every fault of it, but for how long its ramp takes."""
    try:
        contents = _contents(folder, lambda name: name == COURSE_FILE or is_lesson_name(name))
    except FaultyFile as error:
        return Reading(None, error.faults)
    return course_reading(contents)


def load_course(folder: Path) -> Course:
    """Read a course folder.

    Raises:
        FaultyFile: The folder has faults; the first are named.
    """
    reading = read_course(folder)
    if reading.course is None:
        raise FaultyFile(reading.faults)
    return reading.course


def look_at_catalogue(folder: Path) -> Part[Draft]:
    """Read a folder of steps that form no course, faults and all."""
    return _part(folder, is_lesson_name, catalogue_reading)


def look_at_texts(folder: Path) -> Part[TextDraft]:
    """Read a folder of lessons that belong to no step, faults and all."""
    return _part(folder, is_lesson_name, texts_reading)


def look_at_rooms(folder: Path) -> Part[RoomKind]:
    """Read a folder of starter lists for rooms, faults and all."""
    return _part(folder, is_room_file, rooms_reading)


def read_catalogue(folder: Path) -> tuple[Step, ...]:
    """Read a folder of steps that form no course, in file-name order.

    Raises:
        FaultyFile: Some files have faults; the first are named.
    """
    return tuple(item.step() for item in look_at_catalogue(folder).sound())


def read_groups(folder: Path, steps: Collection[str]) -> tuple[StepGroup, ...]:
    """Read how a folder of steps with these ids is grouped; no groups where it does not say.

    Raises:
        FaultyFile: The file of groups has faults; the first are named.
    """
    file = folder / GROUPS_FILE
    return groups_of(file.name, readable(_content(file)), steps) if file.exists() else ()


def read_texts(folder: Path) -> tuple[TextFile, ...]:
    """Read a folder of lessons that belong to no step, in file-name order.

    Raises:
        FaultyFile: Some files have faults; the first are named.
    """
    return tuple(item.text for item in look_at_texts(folder).sound())


def read_rooms(folder: Path) -> tuple[RoomKind, ...]:
    """Read a folder of starter lists for rooms, in file-name order.

    Raises:
        FaultyFile: Some files have faults; the first are named.
    """
    return look_at_rooms(folder).sound()


def look_at_starters(folder: Path) -> Part[Starter]:
    """Read a folder of pages to begin with, faults and all."""
    return _part(folder, is_lesson_name, starters_reading)


def read_starters(folder: Path) -> tuple[Starter, ...]:
    """Read a folder of pages to begin with, in file-name order.

    Raises:
        FaultyFile: Some files have faults; the first are named.
    """
    return look_at_starters(folder).sound()


def read_cautions(path: Path) -> dict[str, Caution]:
    """Read the file of cautions, by key.

    Raises:
        FaultyFile: It has faults; the first are named.
    """
    return cautions_of(path.name, readable(_content(path)))


def files_of(folder: Path, is_wanted: Callable[[str], bool]) -> dict[str, bytes]:
    """The bytes of a folder's wanted files by name.

    Raises:
        FaultyFile: The folder cannot be read, or some of the files cannot; the first are named.
    """
    files = _contents(folder, is_wanted).files
    if faults := [content for content in files.values() if isinstance(content, Fault)]:
        raise FaultyFile(faults)
    return {name: readable(content) for name, content in files.items()}


def _part(
    folder: Path, is_wanted: Callable[[str], bool], reading: Callable[[Contents], Part[_Found]]
) -> Part[_Found]:
    try:
        return reading(_contents(folder, is_wanted))
    except FaultyFile as error:
        return Part((), error.faults, ())


def _contents(folder: Path, is_wanted: Callable[[str], bool]) -> Contents:
    """The wanted files in file-name order, and the beginnings of those that look like lesson files.

    Raises:
        FaultyFile: The folder cannot be read.
    """
    try:
        # A folder is left alone, unless it has the name of a file that would be read.
        paths = sorted(path for path in folder.iterdir() if is_wanted(path.name) or not path.is_dir())
    except OSError as error:
        raise FaultyFile((Fault(str(folder), None, _unreadable("folder", error)),)) from error
    wanted = [path for path in paths if is_wanted(path.name)]
    if len(wanted) > MOST_FILES:
        has = f"this folder has {len(wanted):,} files of lessons"
        reason = f"{has}, and {MOST_FILES} is the most that are read; make two of it"
        raise FaultyFile((Fault(str(folder), None, reason),))
    files = {path.name: _content(path) for path in wanted}
    others = [path for path in paths if path.name not in files and may_be_meant(path.name)]
    return Contents(str(folder), files, {path.name: _beginning(path) for path in others})


def _content(path: Path) -> bytes | Fault:
    """The bytes of an ordinary file of a bearable size; others are not read, for they might never end."""
    try:
        found = path.stat()
        if reason := _unfit(found.st_mode, found.st_size):
            return Fault(path.name, None, reason)
        with os.fdopen(_opened(path), "rb") as file:
            # Another may have taken its place since.
            found = os.fstat(file.fileno())
            content = file.read(MOST_BYTES + 1) if stat.S_ISREG(found.st_mode) else b""
    except OSError as error:
        return Fault(path.name, None, _unreadable("file", error))
    # What the system makes as it is read, such as a file of /proc, has no size before.
    reason = _unfit(found.st_mode, len(content))
    return Fault(path.name, None, reason) if reason else content


def _opened(path: Path) -> int:
    """A file opened without waiting, even if it has become a pipe to which nobody writes."""
    return os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0))


def _unfit(mode: int, size: int) -> str | None:
    """Why a file is not read, if it is not."""
    if not stat.S_ISREG(mode):
        kind = next((name for is_kind, name in _KINDS if is_kind(mode)), "no file with text in it")
        return f"this is {kind}, and only ordinary files are read; take it out of the folder"
    if size > MOST_BYTES:
        has, most = (f"{number / _MEGABYTE:.2f} MB" for number in (size, MOST_BYTES))
        return (
            f"this file has {has}, and {most} is the most that is read; split it, or take out what is no text"
        )
    return None


def _beginning(path: Path) -> bytes:
    """The first bytes of a file that is not one of ours; nothing where there is nothing to be read."""
    try:
        if not path.is_file():
            return b""
        with os.fdopen(_opened(path), "rb") as file:
            return file.read(BEGINNING) if stat.S_ISREG(os.fstat(file.fileno()).st_mode) else b""
    except OSError:
        return b""


def _unreadable(kind: str, error: OSError) -> str:
    return f"this {kind} cannot be read: {error.strerror or error}"
