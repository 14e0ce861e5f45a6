"""What a folder of lessons holds, and what is taken from the lessons shipped with Steading instead."""

from __future__ import annotations

import os
from dataclasses import dataclass, field, replace
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from coach.course.reader import COURSE_FILE, read_cautions, read_texts
from coach.errors import Fault, Faults, FaultyFile

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from coach.course.model import Caution
    from coach.course.texts import TextFile

CATALOGUE, AREAS, HANDOVER, CAUTIONS = "catalogue", "areas", "handover", "cautions.toml"
TEXT_FOLDERS = ("returning", "steady")
PARTS = (CATALOGUE, *TEXT_FOLDERS, AREAS, HANDOVER)
_Read = TypeVar("_Read")


def shipped_lessons() -> Path:
    """The lessons that come with Steading: inside the installed package, or beside it in its source tree."""
    package = Path(str(files("coach")))
    inside = package / "_lessons"
    return inside if inside.is_dir() else package.parent / "lessons"


def is_course(folder: Path) -> bool:
    """Whether a folder is a course: it has a `course.toml`, of whatever kind."""
    return (folder / COURSE_FILE).exists()


def course_folders(folder: Path) -> list[Path]:
    """The courses of a lessons folder by name, itself first if it is one.

    Raises:
        FaultyFile: The folder cannot be read.
    """
    try:
        return [one for one in (folder, *sorted(folder.iterdir())) if is_course(one)]
    except OSError as error:
        raise unreadable(folder, error) from error


def unreadable(folder: Path, error: OSError) -> FaultyFile:
    """What is said of a folder that cannot be looked at, or of the part of it that cannot."""
    place = str(error.filename or folder)
    return FaultyFile((Fault(place, None, f"this cannot be read: {error.strerror or error}"),))


def real(folder: Path) -> Path:
    """A folder by the path it really has; one behind links that lead in a circle keeps its own."""
    return Path(os.path.realpath(folder))


def has_parts(folder: Path) -> bool:
    """Whether a folder holds anything of a lessons folder beside courses."""
    return any((folder / name).exists() for name in (*PARTS, CAUTIONS))


def part(folder: Path, name: str) -> Path:
    """A folder's own part of that name, or the shipped one."""
    own = folder / name
    return own if own.exists() else shipped_lessons() / name


def texts_of(folder: Path) -> list[TextFile]:
    """The texts of a folder; of each occasion it has none for, those shipped with Steading.

    Raises:
        FaultyFile: Some files have faults; the first are named.
    """
    own = _texts(folder)
    shipped = [] if folder == shipped_lessons() else _texts(shipped_lessons())
    held = {(text.when, text.after_pause) for text in own}
    return own + [text for text in shipped if (text.when, text.after_pause) not in held]


def _texts(folder: Path) -> list[TextFile]:
    gathered = Gathered()
    places = [name for name in TEXT_FOLDERS if (folder / name).exists()]
    found = [gathered.read(f"{name}/", read_texts, folder / name) for name in places]
    gathered.done()
    return [text for texts in found for text in texts or ()]


def known_cautions(folder: Path) -> dict[str, Caution]:
    """The cautions shipped with Steading, with those in a `cautions.toml` near a folder.

    Raises:
        FaultyFile: One of the files has faults; the first are named.
    """
    gathered = Gathered()
    found: dict[str, Caution] = {}
    for prefix, file in caution_files(folder):
        found |= gathered.read(prefix, read_cautions, file) or {}
    gathered.done()
    return found


def caution_files(folder: Path) -> list[tuple[str, Path]]:
    """The shipped file of cautions, and those around a folder, in its courses and in it: the later ones win.

    Each comes with what to call its folder.
    """
    courses = course_folders(folder) if folder.is_dir() else []
    places = {shipped_lessons(): "", real(folder).parent: "../"}
    places |= {course: f"{course.name}/" for course in courses} | {folder: ""}
    return [(name, place / CAUTIONS) for place, name in places.items() if (place / CAUTIONS).exists()]


@dataclass(slots=True)
class Gathered:
    """The faults of several folders, each with the name of its folder before that of its file.

    Attributes:
        faults: The first of them, and the number of the rest.
    """

    faults: Faults = field(default_factory=Faults)

    def add(self, prefix: str, faults: Iterable[Fault]) -> None:
        """Keep these faults."""
        self.faults = Faults.of(self.faults, within(prefix, faults))

    def read(self, prefix: str, read: Callable[[Path], _Read], path: Path) -> _Read | None:
        """What is read, or None if it has faults."""
        try:
            return read(path)
        except FaultyFile as error:
            self.add(prefix, error.faults)
            return None

    def done(self) -> None:
        """Raise what was kept.

        Raises:
            FaultyFile: There are faults.
        """
        if self.faults:
            raise FaultyFile(self.faults)


def within(folder: str, faults: Iterable[Fault]) -> Faults:
    """Faults with their folder's name, such as `steady/`, before a file's name."""
    first = Faults.of(faults)
    return Faults((_named(folder, fault) for fault in first), first.more)


def _named(folder: str, fault: Fault) -> Fault:
    is_folder = "/" in fault.file or folder == f"{fault.file}/"
    return fault if is_folder else replace(fault, file=f"{folder}{fault.file}")
