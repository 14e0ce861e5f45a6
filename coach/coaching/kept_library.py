"""The lessons of a folder, with the courses that coaches brought: each group's as it holds on a date."""

from __future__ import annotations

import time
from collections import OrderedDict
from dataclasses import dataclass
from functools import cached_property
from threading import Lock
from typing import TYPE_CHECKING, Protocol

from coach.coaching.packed_courses import kept_lessons
from coach.errors import StoreError, Unknown
from coach.ground.coaching import Coaching
from coach.ground.course_names import brought_named, group_named, is_kept, version_named
from coach.ground.groups import HeldVersion

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence
    from datetime import date
    from pathlib import Path

    from coach.coaching.library import FolderLibrary
    from coach.coaching.packed_courses import KeptLessons
    from coach.course.groups import StepGroup
    from coach.course.model import Caution, Course, Step
    from coach.course.reader import TextFile
    from coach.course.rooms import RoomKind
    from coach.course.starters import Starter
    from coach.ground.coaching import CoachingReading
    from coach.ground.groups import Group


class Closing(Coaching, Protocol):
    """Where groups and courses are kept, open until it is closed."""

    def close(self) -> None:
        """Let go of the database."""


LOOK_EVERY = 1.0
"""Seconds after which it is looked again which version holds, as the folder's files are."""

MOST_LOOKED_UP = 4096
"""Groups whose versions are remembered for that second."""

MOST_READ = 64
"""Courses that are kept as they were read; one that is known by its digest never changes."""


@dataclass(frozen=True, slots=True)
class _Held:
    """What a look found.

    Attributes:
        looked: When, by the clock that only goes on.
        course: The folder's course that holds where no version does.
        versions: Since when which version holds, the earliest first.
    """

    looked: float
    course: str
    versions: tuple[HeldVersion, ...]

    def on(self, day: date) -> str | None:
        """The version that holds on a date; before the first of them that one; None if there are none."""
        begun = [version for version in self.versions if version.since <= day]
        return (begun or list(self.versions[:1]) or [HeldVersion(day, "")])[-1].digest or None


class _Around:
    """What a household's lessons have in common, whatever course it follows: those of the folder."""

    def __init__(self, folder: FolderLibrary) -> None:
        self.folder = folder

    def is_shipped(self, name: str) -> bool:
        """Whether the folder has a course of that name."""
        return self.folder.is_shipped(name)

    def folder_of(self, name: str) -> Path:
        """The folder of a shipped course; Unknown if there is none."""
        return self.folder.folder_of(name)

    def digest(self) -> str:
        """Changes with any file of the folder."""
        return self.folder.digest()

    def catalogue(self) -> Mapping[str, Step]:
        """The optional steps by id, in file order."""
        return self.folder.catalogue()

    def groups(self) -> Sequence[StepGroup]:
        """How the catalogue is grouped."""
        return self.folder.groups()

    def texts(self) -> Sequence[TextFile]:
        """The lessons of days that belong to no step."""
        return self.folder.texts()

    def cautions(self) -> Mapping[str, Caution]:
        """The cautions by key."""
        return self.folder.cautions()

    def rooms(self) -> Sequence[RoomKind]:
        """The kinds of rooms with their starter lists, in file order."""
        return self.folder.rooms()

    def starters(self) -> Sequence[Starter]:
        """The pages a handover can begin with, in file order."""
        return self.folder.starters()


class KeptLibrary(_Around):
    """A folder of lessons, and beside it what is kept in the database.

    Args:
        folder: The lessons folder.
        kept: Where groups and courses are kept.
        today: The date now, for whoever asks without a household.
    """

    def __init__(self, folder: FolderLibrary, kept: Coaching, today: Callable[[], date]) -> None:
        super().__init__(folder)
        self._kept, self._today = kept, today
        self._looked: OrderedDict[str, _Held] = OrderedDict()
        self._read: OrderedDict[str, KeptLessons] = OrderedDict()
        self._lock = Lock()

    def of(self, course: str, day: date) -> KeptLibrary | HouseholdLibrary:
        """The lessons as a household that follows a course has them on a date."""
        if not is_kept(course):
            return self
        return HouseholdLibrary(self, course, day)

    def course(self, name: str) -> Course:
        """The course of that name as it holds now.

        Raises:
            Unknown: There is none.
        """
        return self.course_on(name, self._today())

    def course_on(self, name: str, day: date) -> Course:
        """The course of that name as it holds on a date.

        Raises:
            Unknown: There is none.
        """
        digest, shipped = self.version_on(name, day)
        return self.folder.course(shipped) if digest is None else self.read(digest).course

    def version_on(self, name: str, day: date) -> tuple[str | None, str]:
        """The digest of what holds on a date under a name; None with the folder's course where that does."""
        if not is_kept(name):
            return None, name
        if (digest := version_named(name)) is not None:
            return digest, ""
        held = self._look(name)
        return held.on(day), held.course

    def read(self, digest: str) -> KeptLessons:
        """A version that a coach brought, read once.

        Raises:
            Unknown: It is not here.
        """
        with self._lock:
            found = self._read.get(digest)
            if found is None:
                found = self._read[digest] = self._fetch(digest)
            self._read.move_to_end(digest)
            while len(self._read) > MOST_READ:
                self._read.popitem(last=False)
            return found

    def _fetch(self, digest: str) -> KeptLessons:
        with self._kept.coaching_reading() as reading:
            kept = reading.kept_course(digest)
        if kept is None:
            raise Unknown("This version of the course is not here.")
        return kept_lessons(kept)

    def look_again(self, name: str) -> None:
        """Forget which version holds under a name: it has just been changed."""
        with self._lock:
            self._looked.pop(name, None)

    def _look(self, name: str) -> _Held:
        """Which versions hold under a name, looked up again after a second, by one thread at a time."""
        found = self._looked.get(name)
        if found is not None and time.monotonic() - found.looked < LOOK_EVERY:
            return found
        with self._lock:
            before = self._looked.get(name)
            now = time.monotonic()
            if before is not None and now - before.looked < LOOK_EVERY:
                return before
            try:
                with self._kept.coaching_reading() as reading:
                    held = self._found(reading, name, now)
            except StoreError:
                if before is None:
                    raise
                # What held a moment ago does as long as nobody can say otherwise.
                held = before
            self._looked[name] = held
            while len(self._looked) > MOST_LOOKED_UP:
                self._looked.popitem(last=False)
            return held

    def _found(self, reading: CoachingReading, name: str, looked: float) -> _Held:
        """What holds under a name.

        Raises:
            Unknown: There is no such group, or no course of that id was brought.
        """
        group_id = group_named(name)
        if group_id is None:
            return _brought(reading, name, looked)
        group = reading.group(group_id)
        if group is None:
            raise Unknown("There is no such group any more.")
        held = tuple(reading.held_versions(group_id))
        if not held and not self.is_shipped(group.course):
            first = made_with(reading, group)
            held = (HeldVersion(group.first_day, first),) if first else ()
        return _Held(looked, group.course, held)


def kept_library(
    folder: FolderLibrary, store: Closing, course: str, today: Callable[[], date]
) -> KeptLibrary:
    """The library of a store that was just opened, once the course of new households is there.

    Raises:
        Unknown: It is one that was to be brought, and nobody did; the store is closed then.
    """
    library = KeptLibrary(folder, store, today)
    if brought_named(course) is not None:
        try:
            library.course(course)
        except Unknown as error:
            store.close()
            raise Unknown(f"COACH_COURSE cannot be used. {error}") from None
    return library


class HouseholdLibrary(_Around):
    """The lessons as a household has them on a date: its course as it holds then, and its own texts.

    Args:
        owner: The library this is a view of.
        name: The name of its course.
        day: The date.
    """

    def __init__(self, owner: KeptLibrary, name: str, day: date) -> None:
        super().__init__(owner.folder)
        self._owner, self._name, self._day = owner, name, day

    def of(self, course: str, day: date) -> KeptLibrary | HouseholdLibrary:
        """The lessons as a household that follows another course has them on another date."""
        return self if (course, day) == (self._name, self._day) else self._owner.of(course, day)

    def look_again(self, name: str) -> None:
        """Forget which version holds under a name."""
        self._owner.look_again(name)

    @cached_property
    def _version(self) -> tuple[str | None, str]:
        """What holds, looked up once, so that one request is not told two things."""
        return self._owner.version_on(self._name, self._day)

    @property
    def _own(self) -> KeptLessons | None:
        """The version that a coach brought, if one holds and is here."""
        try:
            digest, _ = self._version
            return None if digest is None else self._owner.read(digest)
        except Unknown:
            return None

    def course(self, name: str) -> Course:
        """The course of that name as it holds on the date.

        Raises:
            Unknown: There is none.
        """
        if name != self._name:
            return self._owner.course_on(name, self._day)
        digest, shipped = self._version
        return self.folder.course(shipped) if digest is None else self._owner.read(digest).course

    def digest(self) -> str:
        """Changes with any file of the folder, and with the version that holds."""
        try:
            return f"{self.folder.digest()} {self._version[0]}"
        except Unknown:
            return self.folder.digest()

    def texts(self) -> Sequence[TextFile]:
        """The lessons of days that belong to no step: the course's own, else those of the folder."""
        own = self._own
        if own is None or not own.texts:
            return self.folder.texts()
        held = {(text.when, text.after_pause) for text in own.texts}
        rest = (text for text in self.folder.texts() if (text.when, text.after_pause) not in held)
        return [*own.texts, *rest]

    def cautions(self) -> Mapping[str, Caution]:
        """The cautions by key, the course's own before those of the folder."""
        own = self._own
        return self.folder.cautions() if own is None else {**self.folder.cautions(), **own.cautions}


def made_with(reading: CoachingReading, group: Group) -> str | None:
    """The version of the coach's own course that a group was made with; None where there is none.

    It is the newest that was kept by then, so that one brought later does not hold before the coach says so.
    """
    own = [one for one in reading.kept_courses(group.coach) if one.course == group.course]
    early = [one for one in own if one.added_at <= group.made_at]
    return (early or own[-1:])[0].digest if own else None


def _brought(reading: CoachingReading, name: str, looked: float) -> _Held:
    brought = brought_named(name)
    latest = next((one for one in reading.kept_courses("") if one.course == brought), None)
    if latest is None:
        raise Unknown(f"There is no course “{brought}” here. Add its file with coach course add.")
    return _Held(looked, "", (HeldVersion(latest.added_at.date(), latest.digest),))
