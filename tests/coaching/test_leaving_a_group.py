"""Whoever followed a coach's own course takes it along, and keeps the version it has without a group."""

from __future__ import annotations

import io
import zipfile
from dataclasses import replace
from datetime import UTC, date, datetime, time
from typing import TYPE_CHECKING

from coach.coaching import bringing, consent
from coach.coaching.following import follow
from coach.coaching.kept_library import KeptLibrary
from coach.coaching.library import FolderLibrary
from coach.ground.course_names import brought_course, one_version
from coach.ground.groups import Enrolment
from coach.ground.ports import Context
from coach.ground.questions import Question
from coach.habits.day import day as day_on
from coach.habits.day import today
from coach.habits.path import path
from coach.household import adopting, data, leaving, replacing, start
from coach.household import bringing as bringing_home
from coach.household.home_file import PACKED
from coach.store.memory import MemoryStore
from coaching.test_kept_library import FIRST, GROUP, NOON, SECOND, Hosted
from progress.living import on

if TYPE_CHECKING:
    from coach.ground.coaching import CoachingReading

HOUSEHOLD = "h1"


def grouped() -> Hosted:
    """A household that has followed both versions of its group's course, and has asked something."""
    hosted = Hosted()
    with hosted.store.writing(HOUSEHOLD) as writing:
        writing.put_enrolment(Enrolment(HOUSEHOLD, "Tern Street", "g1", NOON, "nothing", NOON, None))
    start.start(hosted.context, HOUSEHOLD)
    hosted.live(1, 4)
    hosted.hold(5, SECOND)
    hosted.live(5, 6)
    with hosted.store.coaching_writing() as writing:
        for whose, text in ((HOUSEHOLD, "Which boots?"), ("h2", "Not ours")):
            about = {"person": "", "step": "boots", "lesson": 1, "with_name": True, "asked_at": NOON}
            writing.put_question(Question(f"q-{whose}", "g1", whose, text=text, **about))  # type: ignore[arg-type]
    return hosted


def at_home(day: int) -> Context:
    store = MemoryStore()
    library = KeptLibrary(FolderLibrary(), store, lambda: on(day))
    return Context(store, library, lambda: datetime.combine(on(day), time(12), UTC))


def seen(context: Context, household: str) -> list[object]:
    days = [day_on(context, household, on(day)) for day in range(1, 7)]
    shown = path(context, household)
    return [today(context, household), *days, replace(shown, course="")]


def questions(reading: CoachingReading) -> list[tuple[str, str, bool]]:
    return [(one.text, one.household, one.with_name) for one in reading.questions("g1")]


def test_the_packed_course_comes_along_and_goes_on_at_home() -> None:
    hosted, home = grouped(), at_home(6)
    taken = leaving.take_along(hosted.context, HOUSEHOLD)
    adopting.adopt(home, "home", taken, bring=lambda packed: bringing.bring(home, packed, PACKED).name)
    assert seen(home, "home") == seen(hosted.context, HOUSEHOLD)
    found = home.store.version("home")
    assert found is not None
    assert found.course == brought_course("hall")
    with home.store.reading("home") as reading:
        assert [one.digest for one in reading.courses()] == [FIRST.digest, SECOND.digest]


def test_its_own_questions_are_in_the_file_and_nobody_elses() -> None:
    whole = leaving.take_along(grouped().context, HOUSEHOLD)
    # The parts are packed, so what is looked for is looked for in what is read of them.
    with zipfile.ZipFile(io.BytesIO(whole)) as file:
        asked = file.read("questions.json").decode()
    assert "Which boots?" in asked
    assert "Not ours" not in asked


def test_without_its_group_a_household_keeps_the_version_it_has() -> None:
    hosted = grouped()
    before = today(hosted.context, HOUSEHOLD)
    consent.leave_group(hosted.context, HOUSEHOLD)
    hosted.hold(7, FIRST)
    found = hosted.store.version(HOUSEHOLD)
    assert found is not None
    assert found.course == one_version(SECOND.digest)
    assert replace(today(hosted.context, HOUSEHOLD), version=0) == replace(before, version=0)
    hosted.live(7, 8)
    with hosted.store.reading(HOUSEHOLD) as reading:
        assert [one.digest for one in reading.courses()] == [FIRST.digest, SECOND.digest]
    again = at_home(8)
    adopting.adopt(
        again,
        "home",
        leaving.take_along(hosted.context, HOUSEHOLD),
        bring=lambda packed: bringing.bring(again, packed, PACKED).name,
    )
    assert today(again, "home").checklist == today(hosted.context, HOUSEHOLD).checklist


def test_what_was_kept_before_it_left_brings_it_no_later_version_of_the_coachs() -> None:
    hosted = grouped()
    elsewhere = leaving.take_along(hosted.context, HOUSEHOLD)
    kept = bringing_home.bring_along(hosted.context, HOUSEHOLD, elsewhere)
    assert kept is not None
    consent.leave_group(hosted.context, HOUSEHOLD)
    replacing.put_back(hosted.context, HOUSEHOLD, kept.name)
    found = hosted.store.version(HOUSEHOLD)
    assert found is not None
    assert found.course == one_version(SECOND.digest)


def test_a_group_of_the_shipped_course_leaves_its_households_with_that() -> None:
    hosted = Hosted()
    with hosted.store.coaching_writing() as writing:
        writing.put_group(replace(GROUP, id="g2", course="three-weeks"))
    context = replace(hosted.context, course="group:g2")
    with hosted.store.writing(HOUSEHOLD) as writing:
        writing.put_enrolment(Enrolment(HOUSEHOLD, "Tern Street", "g2", NOON, "nothing", NOON, None))
    start.start(context, HOUSEHOLD)
    consent.leave_group(context, HOUSEHOLD)
    found = hosted.store.version(HOUSEHOLD)
    assert found is not None
    assert found.course == "three-weeks"


def test_sharing_less_takes_the_name_from_what_was_asked() -> None:
    hosted = grouped()
    consent.choose(hosted.context, HOUSEHOLD, "by name")
    with hosted.store.coaching_reading() as reading:
        assert ("Which boots?", HOUSEHOLD, True) in questions(reading)
    consent.choose(hosted.context, HOUSEHOLD, "counted")
    with hosted.store.coaching_reading() as reading:
        assert questions(reading) == [("Which boots?", HOUSEHOLD, False), ("Not ours", "h2", True)]


def test_a_deleted_household_leaves_nothing_nor_what_it_asked() -> None:
    hosted = grouped()
    consent.choose(hosted.context, HOUSEHOLD, "by name")
    follow(hosted.context, HOUSEHOLD)
    with hosted.store.reading(HOUSEHOLD) as reading:
        assert reading.saved_spells()
    data.forget(hosted.context, HOUSEHOLD)
    with hosted.store.reading(HOUSEHOLD) as reading:
        assert (reading.enrolment(), reading.followed(), reading.household()) == (None, None, None)
        assert not reading.saved_spells()
        assert not reading.planned_rows()
    with hosted.store.counting() as counting:
        assert not counting.enrolments("g1")
        assert not counting.ended("g1", date(2027, 1, 30))
    with hosted.store.coaching_reading() as reading:
        assert questions(reading) == [("Not ours", "h2", True)]
