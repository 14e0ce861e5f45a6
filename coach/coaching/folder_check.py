"""A coach's check of a course, or of a whole folder of lessons: every fault at once, and what is doubtful."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import partial
from typing import TYPE_CHECKING

from coach.coaching.courses import calendar
from coach.coaching.lessons_folder import (
    AREAS,
    CATALOGUE,
    HANDOVER,
    TEXT_FOLDERS,
    Gathered,
    caution_files,
    course_folders,
    has_parts,
    is_course,
    real,
    unreadable,
    within,
)
from coach.course.check import catalogue_warnings, lesson_warnings, warnings
from coach.course.keys import shortened
from coach.course.likely import meant
from coach.course.reader import (
    COURSE_FILE,
    look_at_catalogue,
    look_at_rooms,
    look_at_starters,
    look_at_texts,
    read_cautions,
    read_course,
    read_groups,
)
from coach.errors import Fault, Faults
from coach.progress.delivery import LAST_DAY
from coach.progress.ramp import ramp_fault

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator
    from pathlib import Path

    from coach.course.drafts import Draft
    from coach.course.model import Course
    from coach.course.rooms import RoomKind

AROUND = "../"


@dataclass(frozen=True, slots=True)
class Checked:
    """What a check found.

    Attributes:
        courses: The courses that have no faults.
        faults: What is refused; empty if nothing is. Each names its folder, unless that is the one checked.
        doubts: What a coach should look at again; of a folder with faults only what concerns names of files.
    """

    courses: tuple[Course, ...]
    faults: Faults
    doubts: Faults


def check(folder: Path) -> Checked:
    """Check a course with what stands around it, or all courses, texts and lists of a lessons folder.

    Raises:
        FaultyFile: The folder cannot be read.
    """
    try:
        return _checked(folder)
    except OSError as error:
        raise unreadable(folder, error) from error


def _checked(folder: Path) -> Checked:
    found = _Found()
    within_it = [] if is_course(folder) else course_folders(folder)
    found.read_cautions(folder)
    if within_it or (has_parts(folder) and not is_course(folder)):
        for course in within_it:
            found.look_at_course(course, f"{course.name}/")
        found.look_at_parts(folder, "")
    else:
        found.look_at_course(folder, "")
        found.look_at_parts(folder, "")
        found.look_at_parts(real(folder).parent, AROUND)
    return found.checked()


@dataclass(slots=True)
class _Found:
    """What was found so far.

    Attributes:
        named: Doubts about names of files, which may explain a fault.
        doubts: All other doubts.
        cautions: The keys of the cautions there are.
    """

    gathered: Gathered = field(default_factory=Gathered)
    courses: list[Course] = field(default_factory=list)
    named: Faults = field(default_factory=Faults)
    doubts: Faults = field(default_factory=Faults)
    cautions: set[str] = field(default_factory=set)

    def checked(self) -> Checked:
        faults = self.gathered.faults
        return Checked(tuple(self.courses), faults, Faults.of(self.named, () if faults else self.doubts))

    def read_cautions(self, folder: Path) -> None:
        for prefix, file in caution_files(folder):
            self.cautions |= (self.gathered.read(prefix, read_cautions, file) or {}).keys()

    def look_at_course(self, folder: Path, prefix: str) -> None:
        reading = read_course(folder)
        self._keep(prefix, reading.faults, reading.doubts)
        if reading.course is None:
            return
        if reason := ramp_fault(reading.course):
            self._keep(prefix, [Fault(COURSE_FILE, None, reason)], ())
            return
        self.courses.append(reading.course)
        self._doubt(prefix, warnings(reading.course, self.cautions, reading.drafts))
        self._doubt(prefix, _late_lessons(reading.course, reading.drafts))

    def look_at_parts(self, folder: Path, prefix: str) -> None:
        """Look at the catalogue, texts, starter lists and pages to begin with, as far as a folder has any."""
        if (folder / CATALOGUE).exists():
            self._catalogue(folder / CATALOGUE, f"{prefix}{CATALOGUE}/")
        for name in TEXT_FOLDERS:
            if (folder / name).exists():
                self._texts(folder / name, f"{prefix}{name}/")
        if (folder / AREAS).exists():
            self._rooms(folder / AREAS, f"{prefix}{AREAS}/")
        if (folder / HANDOVER).exists():
            part = look_at_starters(folder / HANDOVER)
            self._keep(f"{prefix}{HANDOVER}/", part.faults, part.doubts)

    def _catalogue(self, folder: Path, prefix: str) -> None:
        part = look_at_catalogue(folder)
        self._keep(prefix, part.faults, part.doubts)
        if not part.faults:
            self._doubt(prefix, catalogue_warnings(part.found, self.cautions))
            ids = [draft.id for draft in part.found]
            self.gathered.read(prefix, partial(read_groups, steps=ids), folder)

    def _texts(self, folder: Path, prefix: str) -> None:
        part = look_at_texts(folder)
        self._keep(prefix, part.faults, part.doubts)
        for text in part.found:
            self._doubt(prefix, lesson_warnings(text.content))

    def _rooms(self, folder: Path, prefix: str) -> None:
        part = look_at_rooms(folder)
        self._keep(prefix, part.faults, part.doubts)
        for kind in part.found:
            self._doubt(prefix, _room_doubts(kind, self.cautions))

    def _keep(self, prefix: str, faults: Iterable[Fault], names: Iterable[Fault]) -> None:
        self.gathered.add(prefix, faults)
        self.named = Faults.of(self.named, within(prefix, names))

    def _doubt(self, prefix: str, doubts: Iterable[Fault]) -> None:
        self.doubts = Faults.of(self.doubts, within(prefix, doubts))


def _late_lessons(course: Course, drafts: Iterable[Draft]) -> Iterator[Fault]:
    """A doubt for every lesson that would not have come by day 90 though everything was kept."""
    files = {draft.id: draft for draft in drafts}
    for line in calendar(course):
        content = files[line.step].content
        if line.day is None and content is not None:
            reason = (
                f"lesson {line.number}, “{shortened(line.title)}”, has not come by day {LAST_DAY} though "
                "everything is kept; a day has one lesson, and those of the latest step come first"
            )
            yield Fault(content.file, content.text.lines[line.number - 1], reason)


def _room_doubts(kind: RoomKind, cautions: Collection[str]) -> Iterator[Fault]:
    for task in (*kind.detail, *kind.declutter):
        if task.caution and task.caution not in cautions:
            reason = f"“{task.title}”: there is no caution “{task.caution}”{meant(task.caution, cautions)}"
            yield Fault(kind.id, None, reason)
