"""The contents of folders of lessons, read into values with everything wrong or doubtful about them."""

from __future__ import annotations

from dataclasses import dataclass, field
from hashlib import sha256
from typing import TYPE_CHECKING, Any, Generic, TypeVar

from coach.course.course_table import course_faults, course_values
from coach.course.drafts import Draft, draft, faults_together, repeated_ids
from coach.course.file_names import as_lesson_name, id_of, is_about, name_doubts, order_doubts
from coach.course.file_text import decoded
from coach.course.front_matter import FENCE
from coach.course.model import Course
from coach.course.room_names import faults_between
from coach.course.rooms import RoomKind, room_kind
from coach.course.starters import Starter, repeated_starters, starter_of
from coach.course.texts import TextDraft, text_draft
from coach.course.toml_text import read_toml
from coach.errors import Fault, Faults, FaultyFile

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

COURSE_FILE = "course.toml"
BEGINNING = 8
"""So many bytes of a file show whether it is a lesson file: a byte order mark and the first line."""

_BYTE_ORDER_MARK = b"\xef\xbb\xbf"
_Found = TypeVar("_Found")


@dataclass(frozen=True, slots=True)
class Contents:
    """The files of a folder.

    Attributes:
        folder: What to call the folder.
        files: The bytes of the files that belong to it, in file-name order, or why they cannot be read.
        beginnings: The first bytes of other files, which may be lesson files with a wrong name.
    """

    folder: str
    files: Mapping[str, bytes | Fault]
    beginnings: Mapping[str, bytes]


@dataclass(frozen=True, slots=True)
class Reading:
    """What a course folder gave.

    Attributes:
        course: The course; None if there are faults.
        faults: Everything wrong with the folder, by file and line.
        drafts: The steps as their files have them, in course order.
        doubts: What is doubtful about its files' names.
    """

    course: Course | None
    faults: Faults
    drafts: tuple[Draft, ...] = field(default=())
    doubts: tuple[Fault, ...] = field(default=())


@dataclass(frozen=True, slots=True)
class Part(Generic[_Found]):
    """What a folder beside the courses gave.

    Attributes:
        found: What its files hold, in file-name order, as far as it can be read.
        faults: Everything wrong with them.
        doubts: What is doubtful about their names.
    """

    found: tuple[_Found, ...]
    faults: Faults
    doubts: tuple[Fault, ...]

    def sound(self) -> tuple[_Found, ...]:
        """What was found.

        Raises:
            FaultyFile: There are faults.
        """
        if self.faults:
            raise FaultyFile(self.faults)
        return self.found


def course_reading(contents: Contents) -> Reading:
    """Read a course and find every fault of it, but for how long its ramp takes."""
    lessons = _lesson_files(contents)
    missing = Fault(COURSE_FILE, None, "this file is missing; it has the course's title")
    settings = lessons.pop(COURSE_FILE, missing)
    values, faults = _course_values(settings)
    drafts = tuple(_draft(file, content) for file, content in lessons.items())
    faults += [fault for item in drafts for fault in item.faults]
    faults += faults_together(drafts, contents.folder)
    doubts = (*_misnamed(contents), *name_doubts(tuple(lessons)))
    if faults:
        named = _sorted(faults, [COURSE_FILE, contents.folder, *lessons])
        return Reading(None, Faults.of(named, _not_named(drafts)), drafts, doubts)
    steps = tuple(item.step() for item in drafts)
    digest = digest_of({COURSE_FILE: settings, **lessons})
    return Reading(Course(steps=steps, digest=digest, **values), Faults(), drafts, doubts)


def catalogue_reading(contents: Contents) -> Part[Draft]:
    """Read steps that form no course."""
    lessons = _lesson_files(contents)
    drafts = tuple(_draft(file, content) for file, content in lessons.items())
    faults = Faults.of(*(part for item in drafts for part in (item.faults, repeated_ids(drafts, item))))
    return Part(drafts, faults, (*_misnamed(contents), *name_doubts(tuple(lessons))))


def texts_reading(contents: Contents) -> Part[TextDraft]:
    """Read lessons that belong to no step."""
    lessons = _lesson_files(contents)
    found: list[TextDraft] = []
    faults: list[Faults] = []
    for file, content in lessons.items():
        try:
            found.append(text_draft(file, readable(content)))
        except FaultyFile as error:
            faults.append(error.faults)
    return Part(tuple(found), Faults.of(*faults), (*_misnamed(contents), *order_doubts(lessons)))


def starters_reading(contents: Contents) -> Part[Starter]:
    """Read pages to begin with."""
    files = _lesson_files(contents)
    found: list[Starter] = []
    faults: list[Faults] = []
    for file, content in files.items():
        try:
            found.append(starter_of(file, readable(content)))
        except FaultyFile as error:
            faults.append(error.faults)
    between = repeated_starters(files)
    return Part(tuple(found), Faults.of(*faults, between), (*_misnamed(contents), *order_doubts(files)))


def rooms_reading(contents: Contents) -> Part[RoomKind]:
    """Read starter lists for rooms."""
    kinds: list[tuple[str, RoomKind]] = []
    faults: list[Faults] = []
    for file, content in contents.files.items():
        try:
            kinds.append((file, room_kind(file, readable(content))))
        except FaultyFile as error:
            faults.append(error.faults)
    found = Faults.of(*faults, faults_between(kinds))
    return Part(tuple(kind for _, kind in kinds), found, tuple(order_doubts(contents.files)))


def readable(content: bytes | Fault) -> bytes:
    """The bytes of a file.

    Raises:
        FaultyFile: It could not be read.
    """
    if isinstance(content, Fault):
        raise FaultyFile((content,))
    return content


def _lesson_files(contents: Contents) -> dict[str, bytes | Fault]:
    """The files without one that is about the folder and no lesson file, such as `README.md`."""
    return {
        file: content
        for file, content in contents.files.items()
        if not is_about(file) or (isinstance(content, bytes) and _begins_lessons(content))
    }


def _misnamed(contents: Contents) -> Iterator[Fault]:
    for file, beginning in contents.beginnings.items():
        if _begins_lessons(beginning):
            reason = (
                "this begins like a lesson file and is left out, since its name does not end in .md; "
                f"rename it {as_lesson_name(file)}"
            )
            yield Fault(file, 1, reason)


def _begins_lessons(content: bytes) -> bool:
    fence = FENCE.encode()
    return content.removeprefix(_BYTE_ORDER_MARK).startswith((fence + b"\n", fence + b"\r"))


def _draft(file: str, content: bytes | Fault) -> Draft:
    if isinstance(content, Fault):
        return Draft(file, id_of(file), None, Faults((content,)))
    return draft(file, content)


def _course_values(content: bytes | Fault) -> tuple[dict[str, Any], list[Fault]]:
    """The values of `course.toml`, or its faults."""
    try:
        toml = read_toml(decoded(COURSE_FILE, readable(content)), COURSE_FILE)
    except FaultyFile as error:
        return {}, list(error.faults)
    faults = toml.faults(COURSE_FILE, course_faults(toml.table))
    return ({}, faults) if faults else (course_values(toml.table), [])


def _sorted(faults: Iterable[Fault], files: Sequence[str]) -> tuple[Fault, ...]:
    places = {file: place for place, file in enumerate(files)}
    return tuple(sorted(faults, key=lambda fault: (places[fault.file], fault.line or 0)))


def _not_named(drafts: Iterable[Draft]) -> Faults:
    """How many faults the files have besides those that are named."""
    return Faults((), sum(item.faults.more for item in drafts))


def digest_of(contents: Mapping[str, bytes | Fault]) -> str:
    """SHA-256 over every file's name, length and bytes."""
    digest = sha256()
    for file, content in contents.items():
        digest.update(f"{file}\0{len(readable(content))}\0".encode() + readable(content))
    return digest.hexdigest()
