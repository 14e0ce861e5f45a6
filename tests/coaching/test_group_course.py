"""A group's course: versions are brought, reworded, shown before they hold, and hold from a date on."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, time

import pytest

from coach.coaching import group_course
from coach.coaching.bringing import bring
from coach.coaching.course_answers import Sums
from coach.coaching.course_changes import TOO_FEW, changes
from coach.coaching.groups import Wanted, new_group
from coach.coaching.kept_library import KeptLibrary
from coach.coaching.library import FolderLibrary
from coach.coaching.packed_courses import CourseFiles, checked_files, packed_course
from coach.errors import FaultyFile, Malformed, NotEditable, Unknown
from coach.ground.course_names import group_course as group_name
from coach.ground.groups import BY_NAME, COUNTED, HeldVersion, Level
from coach.ground.ports import Context
from coach.habits.day import today
from coach.household import start
from coaching.folders import STEP, hall
from coaching.village import ANA, BEN, Village, coach
from habits import marking
from progress.living import on

LIBRARY = FolderLibrary()


def files(**more: str) -> CourseFiles:
    return checked_files("hall", {name: text.encode() for name, text in hall(**more).items()})


FIRST = files()
SLOWER = files(
    **{
        "01-shoes.md": STEP.format(title="Shoes", keys="settles = {kept = 5, of = 6}\n", text="In a row."),
        "03-hats.md": STEP.format(title="Hats", keys='after = ["coats"]\n', text="On the shelf."),
    }
)


class Groupful(Village):
    """A village whose households follow their group's course."""

    def __init__(self) -> None:
        super().__init__()
        self.library = KeptLibrary(LIBRARY, self.store, lambda: self.today)
        bring(self.context, FIRST.packed, "hall.zip", ANA)
        self.now = datetime.combine(on(1), time(13), UTC)
        self.group = new_group(self.context, coach(), Wanted("Spring", "hall", on(1))).group
        self.now = datetime.combine(on(1), time(14), UTC)

    @property
    def context(self) -> Context:
        known = getattr(self, "library", self.shelf)
        return Context(self.store, known, lambda: self.now, memo=self.memo)

    def lives(self, household: str, name: str, level: Level, last: int, *, keeps: bool = True) -> None:
        """A household that starts on day 1 and keeps everything or nothing to the end of a day."""
        self.joins(household, name, level)
        self.at(1)
        start.start(replace(self.context, course=group_name(self.group)), household)
        for day in range(1, last + 1):
            self.at(day)
            for line in today(self.context, household).checklist:
                marking.mark(self.context, household, on(day), line.step, "kept" if keeps else "missed")


@pytest.fixture
def village() -> Groupful:
    return Groupful()


def test_a_group_made_with_an_own_course_follows_the_version_there_was_and_none_brought_later(
    village: Groupful,
) -> None:
    group_course.upload(village.context, coach(), village.group, SLOWER.packed, "hall.zip")
    village.library.look_again(group_name(village.group))
    assert village.library.course(group_name(village.group)).digest == FIRST.digest
    found = group_course.course(village.context, coach(), village.group)
    assert (found.digest, found.holds) == (SLOWER.digest, FIRST.digest)
    assert [step.step for step in found.steps] == ["shoes", "coats", "hats"]
    assert [(one.digest, one.state) for one in found.versions] == [
        (FIRST.digest, "holds"),
        (SLOWER.digest, "kept"),
    ]


def test_a_version_holds_from_the_date_that_is_picked_and_the_one_before_until_then(
    village: Groupful,
) -> None:
    group_course.upload(village.context, coach(), village.group, SLOWER.packed, "hall.zip")
    group_course.hold(village.context, coach(), village.group, HeldVersion(on(5), SLOWER.digest))
    held = [village.library.of(group_name(village.group), on(day)).course(group_name(village.group)).digest
            for day in (1, 4, 5)]  # fmt: skip
    assert held == [FIRST.digest, FIRST.digest, SLOWER.digest]
    found = group_course.course(village.context, coach(), village.group)
    assert [(one.digest, one.state, one.since) for one in found.versions] == [
        (SLOWER.digest, "to come", on(5)),
        (FIRST.digest, "holds", on(1)),
    ]


def test_it_can_be_taken_back_until_it_holds_and_not_after(village: Groupful) -> None:
    group_course.upload(village.context, coach(), village.group, SLOWER.packed, "hall.zip")
    group_course.hold(village.context, coach(), village.group, HeldVersion(on(5), SLOWER.digest))
    group_course.take_back(village.context, coach(), village.group, on(5))
    village.at(6)
    assert village.library.course(group_name(village.group)).digest == FIRST.digest
    group_course.hold(village.context, coach(), village.group, HeldVersion(on(6), SLOWER.digest))
    assert village.library.course(group_name(village.group)).digest == SLOWER.digest
    with pytest.raises(NotEditable, match="holds already"):
        group_course.take_back(village.context, coach(), village.group, on(6))
    group_course.take_back(village.context, coach(), village.group, on(9))
    group_course.hold(village.context, coach(), village.group, HeldVersion(on(6), SLOWER.digest))
    assert village.library.course(group_name(village.group)).digest == SLOWER.digest


def test_a_date_that_is_over_a_version_that_holds_and_one_of_another_coach_are_refused(
    village: Groupful,
) -> None:
    village.at(3)
    bring(village.context, SLOWER.packed, "hall.zip", BEN)
    about = village.context, coach(), village.group
    with pytest.raises(Malformed, match="is over"):
        group_course.hold(*about, HeldVersion(on(2), FIRST.digest))
    with pytest.raises(NotEditable, match="already"):
        group_course.hold(*about, HeldVersion(on(4), FIRST.digest))
    with pytest.raises(Unknown, match="no such version"):
        group_course.hold(*about, HeldVersion(on(4), SLOWER.digest))
    with pytest.raises(Unknown, match="no such group"):
        group_course.course(village.context, coach(BEN), village.group)


def test_whoever_brought_the_same_files_before_under_another_id_changes_nothing_for_others(
    village: Groupful,
) -> None:
    """The digest is that of the files, and the id is none of them."""
    foreign = checked_files("somebody-elses", SLOWER.files)
    assert foreign.digest == SLOWER.digest
    bring(village.context, foreign.packed, "somebody-elses.zip", BEN)
    village.at(3)
    about = village.context, coach(), village.group
    group_course.upload(*about, SLOWER.packed, "hall.zip")
    assert group_course.version(*about, SLOWER.digest).id == "hall"
    group_course.hold(*about, HeldVersion(on(3), SLOWER.digest))
    assert group_course.course(*about).course == "hall"
    with village.store.coaching_reading() as reading:
        found = reading.group(village.group)
    assert found is not None
    assert found.course == "hall"


def test_a_group_of_the_shipped_course_keeps_that_until_its_edited_version_holds(village: Groupful) -> None:
    group = new_group(village.context, coach(), Wanted("Summer", "three-weeks", on(1))).group
    shipped = LIBRARY.course("three-weeks").digest
    about = village.context, coach(), group
    words = group_course.step_text(*about, "", "bed-made")
    text = words.text.replace("# ", "# Our own: ", 1)
    made = group_course.reword(*about, replace(words, title="Bed", text=text))
    group_course.hold(*about, HeldVersion(on(4), made.digest))
    seen = [village.library.of(group_name(group), on(day)).course(group_name(group)) for day in (1, 3, 4)]
    assert [one.digest for one in seen] == [shipped, shipped, made.digest]
    bed = seen[2].step("bed-made")
    assert bed is not None
    assert (bed.title, bed.lessons[0].title[:9]) == ("Bed", "Our own: ")
    before = seen[0].step("bed-made")
    assert before is not None
    assert replace(before, title="Bed", lessons=bed.lessons) == bed


def test_words_with_a_fault_are_refused_with_their_line_and_make_no_version(village: Groupful) -> None:
    about = village.context, coach(), village.group
    words = group_course.step_text(*about, "", "shoes")
    with pytest.raises(FaultyFile, match=r"01-shoes.md: there is no lesson"):
        group_course.reword(*about, replace(words, text="No heading."))
    with pytest.raises(FaultyFile, match=r"01-shoes.md:2: “title” is empty"):
        group_course.reword(*about, replace(words, title=" "))
    assert len(group_course.course(*about).versions) == 1


def test_a_version_is_downloaded_as_it_would_be_packed(village: Groupful) -> None:
    found = group_course.version(village.context, coach(), village.group)
    assert packed_course(found.packed, "hall.zip") == FIRST


def test_what_a_version_changes_is_told_for_the_course_and_by_name_and_nothing_is_written(
    village: Groupful,
) -> None:
    village.lives("a", "Tern Street", BY_NAME, 2)
    village.lives("b", "Mill Lane", "nothing", 2)
    group_course.upload(village.context, coach(), village.group, SLOWER.packed, "hall.zip")
    village.at(2)
    before = village.store.version("a")
    found = changes(village.context, coach(), village.group, SLOWER.digest, on(2))
    assert [(one.step, one.kind) for one in found.steps] == [("hats", "new")]
    assert [(one.step, one.key, one.before, one.after) for one in found.rules] == [
        ("shoes", "settles", "kept 2, of 3", "kept 5, of 6")
    ]
    assert [(one.name, one.before, one.before_on, one.after_on, one.days) for one in found.moves] == [
        ("Tern Street", "Coats", on(3), on(6), 3)
    ]
    assert found.sums == TOO_FEW
    assert village.store.version("a") == before


def test_counted_households_are_in_sums_alone_as_of_sunday_and_hidden_where_a_part_is_small(
    village: Groupful,
) -> None:
    for number in range(5):
        village.lives(f"c{number}", f"Counted {number}", COUNTED, 8)
    group_course.upload(village.context, coach(), village.group, SLOWER.packed, "hall.zip")
    village.at(9)
    found = changes(village.context, coach(), village.group, SLOWER.digest, on(9))
    assert (found.moves, found.sums) == ((), Sums(5, sooner=5, later=0, same=0))
    village.lives("d", "One more", COUNTED, 8, keeps=False)
    village.at(9)
    assert changes(village.context, coach(), village.group, SLOWER.digest, on(9)).sums == TOO_FEW


def test_a_household_that_withdrew_is_in_nothing_any_more(village: Groupful) -> None:
    village.lives("a", "Tern Street", BY_NAME, 2)
    village.joins("a", "Tern Street", "nothing")
    group_course.upload(village.context, coach(), village.group, SLOWER.packed, "hall.zip")
    assert changes(village.context, coach(), village.group, SLOWER.digest, on(2)).moves == ()


def test_a_preview_tells_of_the_version_that_is_asked_for(village: Groupful) -> None:
    group_course.upload(village.context, coach(), village.group, SLOWER.packed, "hall.zip")
    about = village.context, coach(), village.group
    assert [one.step for one in group_course.previewed(*about, 1.0).came] == ["shoes", "coats"]
    slower = group_course.previewed(*about, 1.0, SLOWER.digest)
    assert [(one.day, one.step) for one in slower.came] == [(1, "shoes"), (6, "coats"), (8, "hats")]
