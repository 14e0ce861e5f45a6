"""Courses as the files they are made of: taken from a folder or a packed file, and checked whole."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

from coach.coaching.lessons_folder import Gathered, real, shipped_lessons, within
from coach.course.definition import id_fault
from coach.course.file_names import is_about, is_lesson_name
from coach.course.jsonform import course_from_json, course_json
from coach.course.packing import CAUTIONS, TEXT_FOLDERS, in_order, packed, unpacked
from coach.course.reader import COURSE_FILE, files_of
from coach.course.readings import Contents, course_reading, digest_of, texts_reading
from coach.course.texts import cautions_of
from coach.errors import Fault, Faults, FaultyFile
from coach.ground.groups import KeptCourse
from coach.progress.ramp import ramp_fault

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence
    from datetime import datetime
    from pathlib import Path

    from coach.course.model import Caution, Course
    from coach.course.texts import TextFile


@dataclass(frozen=True)
class CourseFiles:
    """A course with the files it was read from; nothing is wrong with it.

    Attributes:
        id: What it is called in addresses, the same for all its versions.
        files: The bytes of its files by name, in the order in which they are read.
        course: The course; its digest is that of all its files.
        texts: Its own texts for days that belong to no step.
        cautions: Its own cautions by key.
    """

    id: str
    files: Mapping[str, bytes]
    course: Course
    texts: Sequence[TextFile]
    cautions: Mapping[str, Caution]

    @property
    def digest(self) -> str:
        """SHA-256 of its files: whatever has the same one is the same version."""
        return self.course.digest

    @cached_property
    def packed(self) -> bytes:
        """The one file it is packed in."""
        return packed(self.id, self.files, self.course.title, self.course.licence)


def folder_course(folder: Path) -> CourseFiles:
    """The course of a folder, with its own texts and cautions: those in it, else those beside it.

    What is shipped with Steading is not taken along: whoever gets the course has that.

    Raises:
        FaultyFile: It has faults; the first are named.
    """
    around = real(folder)
    files = files_of(folder, lambda name: name == COURSE_FILE or is_lesson_name(name))
    for name in TEXT_FOLDERS:
        if (place := _own(around, name)) is not None:
            found = files_of(place, is_lesson_name)
            files |= {f"{name}/{file}": content for file, content in found.items()}
    if (place := _own(around, CAUTIONS)) is not None:
        files |= files_of(place.parent, lambda name: name == CAUTIONS)
    return checked_files(around.name, {name: files[name] for name in files if not is_about(name)})


def _own(folder: Path, name: str) -> Path | None:
    """A part of that name in a course's folder, or in the lessons folder around it unless that is shipped."""
    places = [folder] if folder.parent == real(shipped_lessons()) else [folder, folder.parent]
    return next((place / name for place in places if (place / name).exists()), None)


def packed_course(content: bytes, file: str) -> CourseFiles:
    """The course of a packed file.

    Raises:
        FaultyFile: It cannot be read, or the course has faults; the first are named.
    """
    found = unpacked(content, file)
    return checked_files(found.course, found.files)


@dataclass(frozen=True, slots=True)
class KeptLessons:
    """What a household gets of a course that was checked when it was brought.

    Attributes:
        course: The course.
        texts: Its own texts for days that belong to no step.
        cautions: Its own cautions by key.
    """

    course: Course
    texts: Sequence[TextFile]
    cautions: Mapping[str, Caution]


def kept_lessons(kept: KeptCourse) -> KeptLessons:
    """A version as it was kept; it was checked when it came, and is not checked anew."""
    files, gathered = unpacked(kept.packed, kept.course).files, Gathered()
    texts, cautions = tuple(_texts(files, gathered)), _cautions(files, gathered)
    return KeptLessons(course_from_json(kept.content), texts, cautions)


def kept_course(files: CourseFiles, coach: str, at: datetime) -> KeptCourse:
    """A course as it is kept for a coach."""
    course = files.course
    content = course_json(course)
    return KeptCourse(files.digest, coach, files.id, course.title, content, files.packed, at)


def checked_files(course_id: str, files: Mapping[str, bytes]) -> CourseFiles:
    """The course that files amount to.

    Raises:
        FaultyFile: They have faults; the first are named, each with its file and line.
    """
    ordered, gathered = in_order(files), Gathered()
    own = {name: content for name, content in ordered.items() if "/" not in name and name != CAUTIONS}
    if fault := id_fault(course_id, "a course"):
        gathered.add("", [Fault(COURSE_FILE, None, f"{fault}; rename the folder")])
    reading = course_reading(Contents(course_id, own, {}))
    gathered.add("", reading.faults)
    if reading.course is not None and (reason := ramp_fault(reading.course)):
        gathered.add("", [Fault(COURSE_FILE, None, reason)])
    texts = tuple(_texts(ordered, gathered))
    cautions = _cautions(ordered, gathered)
    gathered.done()
    course = replace(_there(reading.course), digest=digest_of(ordered))
    return CourseFiles(course_id, ordered, course, texts, cautions)


def _there(course: Course | None) -> Course:
    if course is None:
        raise FaultyFile(Faults())
    return course


def _texts(files: Mapping[str, bytes], gathered: Gathered) -> Iterator[TextFile]:
    for folder in TEXT_FOLDERS:
        prefix = f"{folder}/"
        own = {name.removeprefix(prefix): files[name] for name in files if name.startswith(prefix)}
        part = texts_reading(Contents(prefix, own, {}))
        gathered.add(prefix, part.faults)
        yield from (draft.text for draft in part.found)


def _cautions(files: Mapping[str, bytes], gathered: Gathered) -> Mapping[str, Caution]:
    if CAUTIONS not in files:
        return {}
    try:
        return cautions_of(CAUTIONS, files[CAUTIONS])
    except FaultyFile as error:
        gathered.add("", within("", error.faults))
        return {}
