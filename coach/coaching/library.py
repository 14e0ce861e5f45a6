"""The lessons folder, read once for each change of its files and kept."""

from __future__ import annotations

import logging
import os
import time
from contextlib import suppress
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from threading import Lock
from types import MappingProxyType
from typing import TYPE_CHECKING

from coach.coaching.lessons_folder import (
    AREAS,
    CATALOGUE,
    HANDOVER,
    Gathered,
    course_folders,
    has_parts,
    known_cautions,
    part,
    real,
    shipped_lessons,
    texts_of,
    unreadable,
)
from coach.course.reader import (
    COURSE_FILE,
    load_course,
    read_catalogue,
    read_groups,
    read_rooms,
    read_starters,
)
from coach.errors import Fault, FaultyFile, Unknown
from coach.ground.course_names import brought_named
from coach.progress.ramp import ramp_fault

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import date

    from coach.course.groups import StepGroup
    from coach.course.model import Caution, Course, Step
    from coach.course.reader import TextFile
    from coach.course.rooms import RoomKind
    from coach.course.starters import Starter

log = logging.getLogger(__name__)

USUAL = "three-weeks"
LOOK_EVERY = 1.0
Signature = tuple[tuple[str, int, int], ...]


@dataclass(frozen=True, slots=True)
class _Content:
    """What the folder held when it was last read."""

    signature: Signature
    courses: Mapping[str, Course]
    folders: Mapping[str, Path]
    catalogue: Mapping[str, Step]
    groups: Sequence[StepGroup]
    texts: Sequence[TextFile]
    cautions: Mapping[str, Caution]
    rooms: Sequence[RoomKind]
    starters: Sequence[Starter]


class FolderLibrary:
    """A folder of lessons: courses, `catalogue`, `returning`, `steady` and the like, `cautions.toml`.

    Without a folder it is the one shipped with Steading. A single course folder will do too. What the folder
    lacks comes from the lessons shipped with Steading. If a file changes the folder is read again within a
    second; if it then has faults, they are logged and what was read before stays in use.

    Raises:
        FaultyFile: The folder has faults when it is first read.
    """

    def __init__(self, folder: Path | None = None) -> None:
        self._folder = folder or shipped_lessons()
        self._lock = Lock()
        self._looked = time.monotonic()
        self._failed: Signature | None = None
        self._content = self._read(self._signature())

    @property
    def default(self) -> str:
        """The course that new households follow."""
        courses = self._fresh().courses
        return USUAL if USUAL in courses else next(iter(courses))

    def of(self, course: str, day: date) -> FolderLibrary:  # noqa: ARG002  every course has the same here
        """The lessons as they are: a folder's courses have its texts in common."""
        return self

    def is_shipped(self, name: str) -> bool:
        """Whether there is a course of that name."""
        return name in self._fresh().courses

    def look_again(self, name: str) -> None:
        """Nothing: whether a file was changed is looked at by itself."""

    def folder_of(self, name: str) -> Path:
        """The folder of a course.

        Raises:
            Unknown: There is no course of that name.
        """
        self.course(name)
        return self._fresh().folders[name]

    def course(self, name: str) -> Course:
        """The course of that name.

        Raises:
            Unknown: There is none.
        """
        courses = self._fresh().courses
        if name not in courses:
            raise Unknown(f"There is no course “{name}”. There are: {', '.join(courses)}.")
        return courses[name]

    def chosen(self, name: str | None) -> str:
        """The course that new households follow if the settings name this one, or none.

        Whether one that was brought is here, the database alone can say.

        Raises:
            Unknown: There is no course of that name; the text says which there are.
        """
        if name is None:
            return self.default
        if brought_named(name) is not None:
            return name
        try:
            self.course(name)
        except Unknown as error:
            raise Unknown(f"COACH_COURSE cannot be used. {error}") from None
        return name

    def catalogue(self) -> Mapping[str, Step]:
        """The optional steps by id, in file order."""
        return self._fresh().catalogue

    def groups(self) -> Sequence[StepGroup]:
        """How the catalogue is grouped; its steps that stand in no group come after these."""
        return self._fresh().groups

    def texts(self) -> Sequence[TextFile]:
        """The lessons of days that belong to no step."""
        return self._fresh().texts

    def cautions(self) -> Mapping[str, Caution]:
        """The cautions by key."""
        return self._fresh().cautions

    def rooms(self) -> Sequence[RoomKind]:
        """The kinds of rooms with their starter lists, in file order."""
        return self._fresh().rooms

    def starters(self) -> Sequence[Starter]:
        """The pages a handover can begin with, in file order."""
        return self._fresh().starters

    def digest(self) -> str:
        """Changes with any file of the folder."""
        return str(hash(self._fresh().signature))

    def _fresh(self) -> _Content:
        now = time.monotonic()
        if now - self._looked < LOOK_EVERY:
            return self._content
        with self._lock:
            self._looked = now
            signature = self._signature()
            if signature not in {self._content.signature, self._failed}:
                self._reread(signature)
        return self._content

    def _reread(self, signature: Signature) -> None:
        try:
            self._content = self._read(signature)
        except FaultyFile as error:
            self._failed = signature
            for fault in error.faults:
                log.warning("The lessons stay as they were: %s", fault)
            if error.more:
                log.warning("The lessons have %d more faults, %d in all", error.more, error.count)

    def _signature(self) -> Signature:
        """Name, time of change and size of every file."""
        found = []
        for within, _, names in os.walk(self._folder):
            for name in names:
                if name.endswith((".md", ".toml")):
                    path = Path(within, name)
                    # What vanishes meanwhile, or cannot be looked at, is not there.
                    with suppress(OSError):
                        about = path.stat()
                        found.append((str(path), about.st_mtime_ns, about.st_size))
        return tuple(sorted(found))

    def _read(self, signature: Signature) -> _Content:
        """Read everything.

        Raises:
            FaultyFile: There are faults, or a file or folder cannot be looked at.
        """
        try:
            return self._all(signature)
        except OSError as error:
            raise unreadable(self._folder, error) from error

    def _all(self, signature: Signature) -> _Content:
        gathered, folder = Gathered(), self._folder
        folders = gathered.read("", self._folders, folder) or {}
        courses = gathered.read("", partial(self._courses, folders=folders), folder) or {}
        catalogue, groups = self._catalogue(gathered)
        content = _Content(
            signature=signature,
            courses=courses,
            folders=folders,
            catalogue=catalogue,
            groups=groups,
            texts=gathered.read("", texts_of, folder) or (),
            cautions=gathered.read("", known_cautions, folder) or {},
            rooms=gathered.read(f"{AREAS}/", read_rooms, part(folder, AREAS)) or (),
            starters=gathered.read(f"{HANDOVER}/", read_starters, part(folder, HANDOVER)) or (),
        )
        gathered.done()
        return content

    def _catalogue(self, gathered: Gathered) -> tuple[Mapping[str, Step], Sequence[StepGroup]]:
        """The optional steps by id, and how they are grouped."""
        prefix, folder = f"{CATALOGUE}/", part(self._folder, CATALOGUE)
        steps = gathered.read(prefix, read_catalogue, folder)
        if steps is None:
            # What is wrong with a step says more than that it is missing from its group.
            return {}, ()
        catalogue = MappingProxyType({step.id: step for step in steps})
        return catalogue, gathered.read(prefix, partial(read_groups, steps=catalogue), folder) or ()

    def _folders(self, folder: Path) -> Mapping[str, Path]:
        """The folders of its courses by name; the shipped ones if it holds other parts of lessons alone."""
        folders = course_folders(folder) if folder.is_dir() else []
        if not folders and has_parts(folder):
            folders = course_folders(shipped_lessons())
        if not folders:
            reason = f"No course is here: no folder has a {COURSE_FILE}."
            raise FaultyFile((Fault(str(folder), None, reason),))
        return {real(one).name: one for one in folders}

    def _courses(self, folder: Path, folders: Mapping[str, Path]) -> Mapping[str, Course]:
        gathered = Gathered()
        found = {}
        for name, one in folders.items():
            prefix = "" if one == folder else f"{one.name}/"
            found[name] = gathered.read(prefix, checked_course, one)
        gathered.done()
        return {name: course for name, course in found.items() if course is not None}


def checked_course(folder: Path) -> Course:
    """A course folder read and checked whole, its ramp included.

    Raises:
        FaultyFile: It has faults; the first are named.
    """
    course = load_course(folder)
    fault = ramp_fault(course)
    if fault:
        raise FaultyFile((Fault(COURSE_FILE, None, fault),))
    return course


def find_course(name: str) -> Course:
    """The course of a folder, or the shipped course of that name.

    Raises:
        FaultyFile: It has faults; the first are named.
        Unknown: There is neither.
    """
    for folder in (Path(name), shipped_lessons() / name):
        if folder.is_dir():
            return checked_course(folder)
    raise Unknown(f"There is no course folder “{name}” and no course of that name.")
