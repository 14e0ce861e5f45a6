"""The files of lessons, read into values; the one place of the core that opens files."""

from __future__ import annotations

import stat
from dataclasses import dataclass, field
from hashlib import sha256
from typing import TYPE_CHECKING, Any

from coach.course.course_table import course_faults, course_values
from coach.course.drafts import Draft, draft, faults_together, repeated_ids
from coach.course.file_names import id_of, is_lesson_name
from coach.course.file_text import decoded
from coach.course.model import Course
from coach.course.rooms import RoomKind, faults_between, is_room_file, room_kind
from coach.course.texts import TextFile, cautions_of, text_file
from coach.course.toml_text import read_toml
from coach.errors import Fault, FaultyFile

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence
    from pathlib import Path

    from coach.course.model import Caution, Step

__all__ = [
    "COURSE_FILE",
    "Reading",
    "TextFile",
    "load_course",
    "read_catalogue",
    "read_cautions",
    "read_course",
    "read_rooms",
    "read_texts",
]

COURSE_FILE = "course.toml"
MOST_BYTES = 250_000
"""The most one file may hold; a step with its lessons has about ten thousand."""

_MEGABYTE = 1_000_000
_KINDS = (
    (stat.S_ISFIFO, "a named pipe"),
    (stat.S_ISCHR, "a device"),
    (stat.S_ISBLK, "a device"),
    (stat.S_ISSOCK, "a socket"),
    (stat.S_ISDIR, "a folder"),
)


@dataclass(frozen=True, slots=True)
class Reading:
    """What a course folder gave.

    Attributes:
        course: The course; None if there are faults.
        faults: Everything wrong with the folder, by file and line.
        drafts: The steps as their files have them, in course order.
    """

    course: Course | None
    faults: tuple[Fault, ...]
    drafts: tuple[Draft, ...] = field(default=())


def read_course(folder: Path) -> Reading:
    """Read a course folder and find every fault of it, but for how long its ramp takes."""
    try:
        contents = _contents(folder, lambda name: name == COURSE_FILE or is_lesson_name(name))
    except FaultyFile as error:
        return Reading(None, error.faults)
    settings = contents.pop(
        COURSE_FILE, Fault(COURSE_FILE, None, "this file is missing; it has the course's title")
    )
    values, faults = _course_values(settings)
    drafts = tuple(_draft(file, content) for file, content in contents.items())
    faults += [fault for item in drafts for fault in item.faults]
    faults += faults_together(drafts, str(folder))
    if faults:
        return Reading(None, _sorted(faults, [COURSE_FILE, str(folder), *contents]), drafts)
    steps = tuple(item.step() for item in drafts)
    digest = _digest({COURSE_FILE: settings, **contents})
    return Reading(Course(steps=steps, digest=digest, **values), (), drafts)


def load_course(folder: Path) -> Course:
    """Read a course folder.

    Raises:
        FaultyFile: The folder has faults; all are named.
    """
    reading = read_course(folder)
    if reading.course is None:
        raise FaultyFile(reading.faults)
    return reading.course


def read_catalogue(folder: Path) -> tuple[Step, ...]:
    """Read a folder of steps that form no course, in file-name order.

    Raises:
        FaultyFile: Some files have faults; all are named.
    """
    drafts = [_draft(file, content) for file, content in _contents(folder, is_lesson_name).items()]
    faults = [fault for item in drafts for fault in (*item.faults, *repeated_ids(drafts, item))]
    if faults:
        raise FaultyFile(tuple(faults))
    return tuple(item.step() for item in drafts)


def read_texts(folder: Path) -> tuple[TextFile, ...]:
    """Read a folder of lessons that belong to no step, in file-name order.

    Raises:
        FaultyFile: Some files have faults; all are named.
    """
    texts: list[TextFile] = []
    faults: list[Fault] = []
    for file, content in _contents(folder, is_lesson_name).items():
        try:
            texts.append(text_file(file, _readable(content)))
        except FaultyFile as error:
            faults.extend(error.faults)
    if faults:
        raise FaultyFile(tuple(faults))
    return tuple(texts)


def read_rooms(folder: Path) -> tuple[RoomKind, ...]:
    """Read a folder of starter lists for rooms, in file-name order.

    Raises:
        FaultyFile: Some files have faults; all are named.
    """
    kinds: list[tuple[str, RoomKind]] = []
    faults: list[Fault] = []
    for file, content in _contents(folder, is_room_file).items():
        try:
            kinds.append((file, room_kind(file, _readable(content))))
        except FaultyFile as error:
            faults.extend(error.faults)
    faults += faults_between(kinds)
    if faults:
        raise FaultyFile(tuple(faults))
    return tuple(kind for _, kind in kinds)


def read_cautions(path: Path) -> dict[str, Caution]:
    """Read the file of cautions, by key.

    Raises:
        FaultyFile: It has faults; all are named.
    """
    return cautions_of(path.name, _readable(_content(path)))


def _contents(folder: Path, is_wanted: Callable[[str], bool]) -> dict[str, bytes | Fault]:
    """The contents of the wanted files in file-name order, or the fault of those that cannot be read."""
    try:
        paths = sorted(path for path in folder.iterdir() if is_wanted(path.name) and not path.is_dir())
    except OSError as error:
        raise FaultyFile((Fault(str(folder), None, _unreadable("folder", error)),)) from error
    return {path.name: _content(path) for path in paths}


def _content(path: Path) -> bytes | Fault:
    """The bytes of an ordinary file of a bearable size; others are not read, for they might never end."""
    try:
        found = path.stat()
        if reason := _unfit(found.st_mode, found.st_size):
            return Fault(path.name, None, reason)
        with path.open("rb") as file:
            content = file.read(MOST_BYTES + 1)
    except OSError as error:
        return Fault(path.name, None, _unreadable("file", error))
    # What the system makes as it is read, such as a file of /proc, has no size before.
    reason = _unfit(found.st_mode, len(content))
    return Fault(path.name, None, reason) if reason else content


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


def _unreadable(kind: str, error: OSError) -> str:
    return f"this {kind} cannot be read: {error.strerror or error}"


def _readable(content: bytes | Fault) -> bytes:
    if isinstance(content, Fault):
        raise FaultyFile((content,))
    return content


def _draft(file: str, content: bytes | Fault) -> Draft:
    if isinstance(content, Fault):
        return Draft(file, id_of(file), None, (content,))
    return draft(file, content)


def _course_values(content: bytes | Fault) -> tuple[dict[str, Any], list[Fault]]:
    """The values of `course.toml`, or its faults."""
    try:
        toml = read_toml(decoded(COURSE_FILE, _readable(content)), COURSE_FILE)
    except FaultyFile as error:
        return {}, list(error.faults)
    faults = [Fault(COURSE_FILE, toml.line_of(path), reason) for path, reason in course_faults(toml.table)]
    return ({}, faults) if faults else (course_values(toml.table), [])


def _sorted(faults: Iterable[Fault], files: Sequence[str]) -> tuple[Fault, ...]:
    places = {file: place for place, file in enumerate(files)}
    return tuple(sorted(faults, key=lambda fault: (places[fault.file], fault.line or 0)))


def _digest(contents: Mapping[str, bytes | Fault]) -> str:
    """SHA-256 over every file's name, length and bytes."""
    digest = sha256()
    for file, content in contents.items():
        digest.update(f"{file}\0{len(_readable(content))}\0".encode() + _readable(content))
    return digest.hexdigest()
