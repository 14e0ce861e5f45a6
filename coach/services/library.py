"""The lessons folder, read once for each change of its files and kept."""

from __future__ import annotations

import logging
import time
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path
from threading import Lock
from types import MappingProxyType
from typing import TYPE_CHECKING

from coach.course.reader import (
    COURSE_FILE,
    load_course,
    read_catalogue,
    read_cautions,
    read_rooms,
    read_texts,
)
from coach.errors import Fault, FaultyFile, Unknown
from coach.progress.ramp import ramp_fault

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from coach.course.model import Caution, Course, Step
    from coach.course.reader import TextFile
    from coach.course.rooms import RoomKind

log = logging.getLogger(__name__)

USUAL = "three-weeks"
TEXT_FOLDERS = ("returning", "steady")
LOOK_EVERY = 1.0
Signature = tuple[tuple[str, int, int], ...]


def shipped_lessons() -> Path:
    """The lessons that come with Steading: inside the installed package, or beside it in its source tree."""
    package = Path(str(files("coach")))
    inside = package / "_lessons"
    return inside if inside.is_dir() else package.parent / "lessons"


@dataclass(frozen=True, slots=True)
class _Content:
    """What the folder held when it was last read."""

    signature: Signature
    courses: Mapping[str, Course]
    catalogue: Mapping[str, Step]
    texts: Sequence[TextFile]
    cautions: Mapping[str, Caution]
    rooms: Sequence[RoomKind]


class FolderLibrary:
    """A folder of lessons: courses, `catalogue`, `returning`, `steady`, `areas`, `cautions.toml`.

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

    def course(self, name: str) -> Course:
        """The course of that name.

        Raises:
            Unknown: There is none.
        """
        courses = self._fresh().courses
        if name not in courses:
            raise Unknown(f"There is no course “{name}”. There are: {', '.join(courses)}.")
        return courses[name]

    def catalogue(self) -> Mapping[str, Step]:
        """The optional steps by id, in file order."""
        return self._fresh().catalogue

    def texts(self) -> Sequence[TextFile]:
        """The lessons of days that belong to no step."""
        return self._fresh().texts

    def cautions(self) -> Mapping[str, Caution]:
        """The cautions by key."""
        return self._fresh().cautions

    def rooms(self) -> Sequence[RoomKind]:
        """The kinds of rooms with their starter lists, in file order."""
        return self._fresh().rooms

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

    def _signature(self) -> Signature:
        """Name, time of change and size of every file."""
        found = []
        for path in sorted(self._folder.rglob("*")):
            if path.suffix in {".md", ".toml"} and path.is_file():
                stat = path.stat()
                found.append((str(path), stat.st_mtime_ns, stat.st_size))
        return tuple(found)

    def _read(self, signature: Signature) -> _Content:
        return _Content(
            signature=signature,
            courses=self._courses(),
            catalogue=MappingProxyType({step.id: step for step in read_catalogue(self._part("catalogue"))}),
            texts=[text for name in TEXT_FOLDERS for text in read_texts(self._part(name))],
            cautions=known_cautions(self._folder),
            rooms=read_rooms(self._part("areas")),
        )

    def _part(self, name: str) -> Path:
        own = self._folder / name
        return own if own.exists() else shipped_lessons() / name

    def _courses(self) -> Mapping[str, Course]:
        folders = [self._folder, *sorted(self._folder.iterdir())] if self._folder.is_dir() else []
        courses = [folder for folder in folders if (folder / COURSE_FILE).is_file()]
        if not courses:
            raise FaultyFile(
                (Fault(str(self._folder), None, f"No course is here: no folder has a {COURSE_FILE}."),)
            )
        return {folder.resolve().name: checked_course(folder) for folder in courses}


def known_cautions(folder: Path) -> dict[str, Caution]:
    """The cautions shipped with Steading, with those in a `cautions.toml` beside a folder and inside it.

    Raises:
        FaultyFile: One of the files has faults; all are named.
    """
    places = (shipped_lessons(), folder.resolve().parent, folder)
    found: dict[str, Caution] = {}
    for file in (place / "cautions.toml" for place in places):
        if file.is_file():
            found |= read_cautions(file)
    return found


def checked_course(folder: Path) -> Course:
    """A course folder read and checked whole, its ramp included.

    Raises:
        FaultyFile: It has faults; all are named.
    """
    course = load_course(folder)
    fault = ramp_fault(course)
    if fault:
        raise FaultyFile((Fault(COURSE_FILE, None, fault),))
    return course


def find_course(name: str) -> Course:
    """The course of a folder, or the shipped course of that name.

    Raises:
        FaultyFile: It has faults; all are named.
        Unknown: There is neither.
    """
    for folder in (Path(name), shipped_lessons() / name):
        if folder.is_dir():
            return checked_course(folder)
    raise Unknown(f"There is no course folder “{name}” and no course of that name.")
