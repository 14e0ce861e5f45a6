"""A library that serves each group's course as it holds on a date, with the folder's courses beside it."""

from __future__ import annotations

from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, date, datetime, time
from typing import TYPE_CHECKING

import pytest

from coach.coaching import kept_library
from coach.coaching.kept_library import KeptLibrary
from coach.coaching.library import FolderLibrary
from coach.coaching.packed_courses import CourseFiles, checked_files, kept_course
from coach.errors import StoreError, Unknown
from coach.ground.course_names import brought_course, group_course
from coach.ground.groups import Group, HeldVersion
from coach.ground.ports import Context
from coach.habits.day import day as day_on
from coach.habits.day import today
from coach.household import start
from coach.store.memory import MemoryStore
from coaching.folders import STEP, hall
from habits import marking
from progress.living import on

if TYPE_CHECKING:
    from collections.abc import Iterator

    from coach.store.memory_coaching import MemoryCoachingReading

NOON = datetime(2027, 1, 1, 12, tzinfo=UTC)
GROUP = Group("g1", "anna", "January", "hall", date(2027, 1, 4), "en-GB", NOON)
NAME = group_course("g1")


def version(**more: str) -> CourseFiles:
    return checked_files("hall", {name: text.encode() for name, text in hall(**more).items()})


FIRST = version()
RENAMED = {name: text for name, text in hall().items() if name != "01-shoes.md"} | {
    "01-boots.md": STEP.format(title="Boots", keys='formerly = ["shoes"]\n', text="In a row."),
    "02-coats.md": STEP.format(title="Coats", keys='after = ["boots"]\n', text="On hooks."),
}
SECOND = checked_files("hall", {name: text.encode() for name, text in RENAMED.items()})


class Asked(MemoryStore):
    """A store that counts how often it is asked about groups, and can be out of reach."""

    def __init__(self) -> None:
        super().__init__()
        self.asked, self.lost = 0, False

    @contextmanager
    def coaching_reading(self) -> Iterator[MemoryCoachingReading]:
        self.asked += 1
        if self.lost:
            raise StoreError("The database is out of reach.")
        with super().coaching_reading() as reading:
            yield reading


class Hosted:
    """A group with two versions of its course, one household, and a clock."""

    def __init__(self) -> None:
        self.store = Asked()
        self.day = 1
        with self.store.coaching_writing() as writing:
            writing.put_group(GROUP)
            for files in (FIRST, SECOND):
                writing.add_course(kept_course(files, "anna", NOON))
            writing.hold_version("g1", HeldVersion(on(1), FIRST.digest))
        self.library = KeptLibrary(FolderLibrary(), self.store, lambda: on(self.day))

    @property
    def context(self) -> Context:
        def clock() -> datetime:
            return datetime.combine(on(self.day), time(12), UTC)

        return Context(self.store, self.library, clock, course=NAME)

    def hold(self, day: int, files: CourseFiles) -> None:
        with self.store.coaching_writing() as writing:
            writing.hold_version("g1", HeldVersion(on(day), files.digest))
        self.library.look_again(NAME)

    def live(self, first: int, last: int) -> None:
        for self.day in range(first, last + 1):
            for line in today(self.context, "h1").checklist:
                marking.mark(self.context, "h1", on(self.day), line.step, "kept")


@pytest.fixture
def hosted() -> Hosted:
    return Hosted()


def test_a_households_course_is_the_version_of_its_group_that_holds_on_the_date(hosted: Hosted) -> None:
    hosted.hold(5, SECOND)
    held = [hosted.library.of(NAME, on(day)).course(NAME).digest for day in (1, 4, 5, 9)]
    assert held == [FIRST.digest, FIRST.digest, SECOND.digest, SECOND.digest]
    assert hosted.library.of(NAME, date(2026, 12, 1)).course(NAME).digest == FIRST.digest


def test_a_group_without_a_version_of_its_own_follows_the_shipped_course(hosted: Hosted) -> None:
    with hosted.store.coaching_writing() as writing:
        writing.put_group(replace(GROUP, id="g2", course="three-weeks"))
    assert hosted.library.course(group_course("g2")) == hosted.library.course("three-weeks")
    with pytest.raises(Unknown, match="no such group"):
        hosted.library.course(group_course("g3"))


def test_a_household_notices_the_new_version_on_its_date_and_closed_days_keep_what_they_were(
    hosted: Hosted,
) -> None:
    start.start(hosted.context, "h1")
    hosted.live(1, 4)
    hosted.hold(5, SECOND)
    assert [line.step for line in today(hosted.context, "h1").checklist] == ["shoes", "coats"]
    hosted.live(5, 6)
    assert [line.step for line in today(hosted.context, "h1").checklist] == ["boots", "coats"]
    assert [line.step for line in day_on(hosted.context, "h1", on(4)).checklist] == ["shoes", "coats"]
    with hosted.store.reading("h1") as reading:
        assert [(one.since, one.digest) for one in reading.courses()] == [
            (on(1), FIRST.digest),
            (on(5), SECOND.digest),
        ]
        assert [row.step for row in reading.rows() if row.date == on(5)] == ["boots", "coats"]


def test_a_version_taken_back_before_its_date_never_held(hosted: Hosted) -> None:
    start.start(hosted.context, "h1")
    hosted.hold(5, SECOND)
    hosted.live(1, 3)
    with hosted.store.coaching_writing() as writing:
        writing.drop_version("g1", on(5))
    hosted.library.look_again(NAME)
    hosted.live(4, 6)
    with hosted.store.reading("h1") as reading:
        assert [one.digest for one in reading.courses()] == [FIRST.digest]


def test_its_own_texts_and_cautions_come_before_those_of_the_folder(hosted: Hosted) -> None:
    seen, shipped = hosted.library.of(NAME, on(1)), hosted.library
    assert seen.texts()[0].lessons[0].title == "Our own steady day"
    assert not [text for text in seen.texts()[1:] if text.when == "steady"]
    assert [text for text in seen.texts() if text.when == "return"]
    assert set(seen.cautions()) == {*shipped.cautions(), "acid"}
    assert hosted.library.of("three-weeks", on(1)) is hosted.library


def test_which_version_holds_is_asked_once_a_second_and_no_more(
    hosted: Hosted, monkeypatch: pytest.MonkeyPatch
) -> None:
    now = 100.0
    monkeypatch.setattr("coach.coaching.kept_library.time.monotonic", lambda: now)
    hosted.library.of(NAME, on(1)).course(NAME)
    before = hosted.store.asked
    for _ in range(50):
        seen = hosted.library.of(NAME, on(1))
        assert (seen.course(NAME).digest, seen.digest()[-64:]) == (FIRST.digest, FIRST.digest)
    assert hosted.store.asked == before
    now += 1.0
    hosted.library.of(NAME, on(1)).digest()
    assert hosted.store.asked == before + 1


def test_the_digest_changes_on_the_day_on_which_another_version_holds(hosted: Hosted) -> None:
    hosted.hold(5, SECOND)
    told = [hosted.library.of(NAME, on(day)).digest() for day in (3, 4, 5)]
    assert told[0] == told[1] != told[2]


def test_what_held_a_moment_ago_does_while_the_database_is_out_of_reach(
    hosted: Hosted, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(kept_library, "LOOK_EVERY", 0.0)
    hosted.library.of(NAME, on(1)).course(NAME)
    hosted.store.lost = True
    assert hosted.library.of(NAME, on(1)).course(NAME).digest == FIRST.digest


def test_a_house_follows_the_course_that_was_brought_last(hosted: Hosted) -> None:
    name = brought_course("hall")
    with pytest.raises(Unknown, match="coach course add"):
        hosted.library.course(name)
    for files, hour in ((FIRST, 9), (SECOND, 10)):
        with hosted.store.coaching_writing() as writing:
            writing.add_course(kept_course(files, "", NOON.replace(hour=hour)))
        hosted.library.look_again(name)
        assert hosted.library.course(name).digest == files.digest
    assert hosted.library.folder.chosen(name) == name
    with pytest.raises(Unknown, match="COACH_COURSE"):
        kept_library.kept_library(FolderLibrary(), Asked(), name, lambda: on(1))
