"""Groups, courses, questions, notes and what a household lets be seen, over every store."""

from __future__ import annotations

import threading
from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

import pytest

from coach.errors import Malformed, NotStarted
from coach.ground.answered import Answered
from coach.ground.groups import BY_NAME, COUNTED, NOTHING, Enrolment, Group, HeldVersion, KeptCourse
from coach.ground.questions import Answer, Beside, Note, Question
from coach.ground.spells import Ended, Followed, Paced, Spell, Weeks
from store.tern_street import HOME, NOW, begin

if TYPE_CHECKING:
    from coach.ground.groups import Level
    from coach.ground.ports import Store
    from coach.store.households import SqlStore

LATER = NOW + timedelta(hours=2)
MONDAY, SUNDAY, NEXT = date(2027, 1, 4), date(2027, 1, 10), date(2027, 1, 11)
GROUP = Group("g1", "c", "Winter", "three-weeks", MONDAY, "en-GB", NOW)
COURSE = KeptCourse("d1", "c", "mine", "My course", "{}", b"PK\x00", NOW)
QUESTION = Question(
    "q1", "g1", HOME, "a", "bed-made", 1, "And with a bunk bed?", with_name=False, asked_at=NOW
)
ANSWER = Answer("a1", "g1", "bed-made", "Bunk beds?", "The lower one.", for_all=True, answered_at=LATER)
SPELL = Spell("bed-made", "d1", MONDAY, 8, "settled", NEXT, "settled", NEXT, 7, 7, "open")
FOLLOWED = Followed(NEXT, MONDAY, "ramping", NEXT, 0, ("ramping",))


def enrolled(household: str = HOME, level: Level = NOTHING, until: date | None = None) -> Enrolment:
    return Enrolment(household, "Tern Street", "g1", NOW, level, NOW, until)


def test_a_group_is_kept_changed_and_found_by_its_coach(store: Store) -> None:
    with store.coaching_writing() as writing:
        writing.put_group(GROUP)
        writing.put_group(replace(GROUP, id="g2", made_at=LATER))
        writing.put_group(replace(GROUP, name="Early winter"))
    with store.coaching_reading() as reading:
        assert [group.name for group in reading.groups("c")] == ["Early winter", "Winter"]
        assert reading.groups("another") == []
        assert reading.group("g1") == replace(GROUP, name="Early winter")
        assert reading.group("g3") is None


def test_a_coach_is_known_once_it_was_said(store: Store) -> None:
    with store.coaching_writing() as writing:
        writing.put_coach("c", NOW)
        writing.put_coach("c", LATER)
        assert writing.is_coach("c")
        assert not writing.is_coach("a")


def test_courses_are_kept_by_their_digest_with_their_files(store: Store) -> None:
    newer = replace(COURSE, digest="d2", added_at=LATER)
    with store.coaching_writing() as writing:
        for course in (COURSE, newer, replace(COURSE, title="Not this one")):
            writing.add_course(course)
    with store.coaching_reading() as reading:
        assert reading.kept_course("d1") == COURSE
        assert reading.kept_course("d3") is None
        assert list(reading.kept_courses("c")) == [replace(newer, packed=b""), replace(COURSE, packed=b"")]
        assert reading.kept_courses("another") == []


def test_of_the_same_files_brought_by_two_coaches_each_has_their_own(store: Store) -> None:
    later = replace(COURSE, coach="another", course="theirs", added_at=LATER)
    with store.coaching_writing() as writing:
        for course in (COURSE, later):
            writing.add_course(course)
        found = [writing.kept_course("d1", coach) for coach in ("c", "another", "nobody", "")]
    assert found == [COURSE, later, COURSE, COURSE]


def test_versions_hold_from_their_dates_on(store: Store) -> None:
    with store.coaching_writing() as writing:
        for version in (HeldVersion(NEXT, "d2"), HeldVersion(MONDAY, "d1"), HeldVersion(NEXT, "d3")):
            writing.hold_version("g1", version)
        assert list(writing.held_versions("g1")) == [HeldVersion(MONDAY, "d1"), HeldVersion(NEXT, "d3")]
        writing.drop_version("g1", NEXT)
    with store.coaching_reading() as reading:
        assert list(reading.held_versions("g1")) == [HeldVersion(MONDAY, "d1")]


def test_questions_are_kept_in_order_and_answered(store: Store) -> None:
    other = replace(QUESTION, id="q0", household="h2", asked_at=LATER)
    with store.coaching_writing() as writing:
        writing.put_question(other)
        writing.put_question(QUESTION)
        writing.put_answer(ANSWER)
        writing.put_question(replace(QUESTION, answer="a1", together="q0", apart=True))
    with store.coaching_reading() as reading:
        answered = replace(QUESTION, answer="a1", together="q0", apart=True)
        assert list(reading.questions("g1")) == [answered, other]
        assert list(reading.questions("g1", "h2")) == [other]
        assert reading.questions("g2") == []
        assert list(reading.answers("g1")) == [ANSWER]


def test_what_stands_beside_a_lesson_is_the_note_ones_own_and_what_is_for_all(store: Store) -> None:
    answered = replace(QUESTION, answer="a1")
    waits = replace(QUESTION, id="q2", asked_at=LATER)
    lately = replace(QUESTION, id="q3", step="keys", answer="a2", asked_at=LATER)
    long_ago = replace(lately, id="q4", answer="a3")
    others = replace(QUESTION, id="q5", household="h2", answer="a4")
    privately = replace(ANSWER, id="a2", step="keys", question="", for_all=False)
    early = replace(privately, id="a3", answered_at=NOW)
    for_all, elsewhere = replace(ANSWER, id="a4"), replace(ANSWER, id="a5", step="keys")
    note = Note("g1", MONDAY, "First", NOW)
    with store.coaching_writing() as writing:
        for question in (waits, answered, lately, long_ago, others, replace(waits, id="q6", group="g2")):
            writing.put_question(question)
        for answer in (ANSWER, privately, early, for_all, elsewhere, replace(for_all, id="a6", group="g2")):
            writing.put_answer(answer)
        writing.put_note(note)
        writing.put_note(Note("g1", NEXT, "Next", NOW))
    with store.coaching_reading() as reading:
        found = reading.beside("g1", HOME, "bed-made", MONDAY, LATER)
        assert found.note == note
        assert list(found.asked) == [(answered, ANSWER), (waits, None), (lately, privately)]
        assert list(found.said) == [ANSWER, for_all]
        assert reading.beside("g3", HOME, "bed-made", MONDAY, LATER) == Beside(None, [], [])


def test_a_note_stands_once_on_its_date(store: Store) -> None:
    with store.coaching_writing() as writing:
        for note in (
            Note("g1", MONDAY, "First", NOW),
            Note("g1", MONDAY, "Second", NOW),
            Note("g1", NEXT, "Third", NOW),
        ):
            writing.put_note(note)
    with store.coaching_writing() as writing:
        assert [note.text for note in writing.notes("g1")] == ["Third", "Second"]
        writing.drop_note("g1", NEXT)
        assert writing.note("g1", NEXT) is None
        assert writing.note("g1", MONDAY) == Note("g1", MONDAY, "Second", NOW)


def test_what_was_published_stays_with_its_date(store: Store) -> None:
    with store.coaching_writing() as writing:
        writing.publish("g1", "stops", SUNDAY, "[1]")
        writing.publish("g1", "stops", MONDAY, "[0]")
        writing.publish("g1", "stops", SUNDAY, "[2]")
        writing.publish("g1", "weeks", SUNDAY, "[3]")
    with store.coaching_reading() as reading:
        assert list(reading.published("g1", "stops")) == [(MONDAY, "[0]"), (SUNDAY, "[2]")]


def test_an_answer_to_a_coachs_request_is_known_again(store: Store) -> None:
    given = Answered("sha", 201, "{}")
    with store.coaching_writing() as writing:
        writing.keep_answer("coach c", "r1", given, NOW, NOW - timedelta(days=14))
    with store.coaching_reading() as reading:
        assert reading.answered("coach c", "r1", NOW - timedelta(days=1)) == given
        assert reading.answered("coach d", "r1", NOW - timedelta(days=1)) is None
        assert reading.answered("coach c", "r1", LATER) is None


def test_what_fails_is_not_kept(store: Store) -> None:
    def put_and_fail() -> None:
        with store.coaching_writing() as writing:
            writing.put_group(GROUP)
            raise Malformed("no")

    with pytest.raises(Malformed):
        put_and_fail()
    with store.coaching_reading() as reading:
        assert reading.group("g1") is None


def test_a_household_knows_its_group_and_grows_with_what_it_lets_be_seen(store: Store) -> None:
    begin(store)
    before = store.version(HOME)
    with store.writing(HOME) as writing:
        assert writing.enrolment() is None
        writing.put_enrolment(enrolled())
    found = store.version(HOME)
    assert before is not None
    assert found is not None
    assert (before.group, found.group) == ("", "g1")
    assert found.version > before.version
    with store.reading(HOME) as reading:
        assert reading.enrolment() == enrolled()
        assert reading.household() == found


def test_a_household_is_enrolled_before_it_starts(store: Store) -> None:
    with store.writing("h2") as writing:
        writing.put_enrolment(enrolled("h2"))
        assert writing.household() is None
    with store.reading("h2") as reading:
        assert reading.enrolment() == enrolled("h2")


def test_saved_days_stand_in_the_place_of_those_before_and_change_no_version(store: Store) -> None:
    begin(store)
    before = store.version(HOME)
    with store.writing(HOME) as writing:
        writing.save_followed(FOLLOWED, [SPELL, replace(SPELL, step="door-shelf")])
        writing.save_followed(FOLLOWED, [SPELL])
    with store.reading(HOME) as reading:
        assert reading.followed() == FOLLOWED
        assert list(reading.saved_spells()) == [SPELL]
    assert store.version(HOME) == before
    with store.writing(HOME) as writing:
        writing.drop_followed()
        assert (writing.followed(), list(writing.saved_spells())) == (None, [])


def test_counts_take_in_those_who_may_be_seen_while_they_may(store: Store) -> None:
    for household, level, until in (
        ("h1", COUNTED, NEXT),
        ("h2", BY_NAME, MONDAY),
        ("h3", NOTHING, None),
        ("h4", BY_NAME, NEXT),
    ):
        with store.writing(household) as writing:
            writing.put_enrolment(enrolled(household, level, until))
            writing.save_followed(FOLLOWED, [SPELL, replace(SPELL, step="dishes", sunday_days=0)])
    with store.counting() as counting:
        assert counting.missing == ()
        assert [one.household for one in counting.enrolments("g1")] == ["h1", "h2", "h3", "h4"]
        assert [one.enrolment.household for one in counting.seen("g1", NEXT)] == ["h1", "h4"]
        assert counting.seen("g1", NEXT)[0].followed == FOLLOWED
        assert list(counting.ended("g1", NEXT)) == [
            Ended("d1", "bed-made", 7, "open", BY_NAME, 1),
            Ended("d1", "bed-made", 7, "open", COUNTED, 1),
        ]
        assert list(counting.weeks("g1", NEXT)) == [
            Weeks(FOLLOWED.started_on, FOLLOWED.weeks, BY_NAME, 1),
            Weeks(FOLLOWED.started_on, FOLLOWED.weeks, COUNTED, 1),
        ]
        assert [(home, spell.step) for home, spell in counting.spells(["h4", "h1"])] == [
            ("h1", "bed-made"),
            ("h1", "dishes"),
            ("h4", "bed-made"),
            ("h4", "dishes"),
        ]
        assert counting.spells([]) == []
        assert counting.ended("g2", NEXT) == []


def test_a_steps_spells_are_counted_by_the_pace_they_began_at(store: Store) -> None:
    for household, pace in (("h1", "gentle"), ("h2", "standard"), ("h3", "gentle")):
        with store.writing(household) as writing:
            writing.put_enrolment(enrolled(household, COUNTED, NEXT))
            writing.save_followed(FOLLOWED, [replace(SPELL, pace=pace), replace(SPELL, step="dishes")])
    with store.counting() as counting:
        assert list(counting.paced("g1", NEXT, "bed-made")) == [
            Paced("gentle", 7, "open", 2),
            Paced("standard", 7, "open", 1),
        ]
        assert counting.paced("g2", NEXT, "bed-made") == []


def test_those_who_are_behind_come_the_oldest_first(store: Store) -> None:
    for household, through in (("h1", NEXT), ("h2", SUNDAY), ("h3", None), ("h4", MONDAY)):
        with store.writing(household) as writing:
            writing.put_enrolment(enrolled(household, COUNTED, NEXT))
            if through is not None:
                writing.save_followed(replace(FOLLOWED, through=through), [])
    with store.counting() as counting:
        assert list(counting.behind(NEXT, 9)) == ["h3", "h4", "h2"]
        assert list(counting.behind(NEXT, 2)) == ["h3", "h4"]


def test_those_of_whom_days_are_saved_though_they_may_not_be_seen_are_found(store: Store) -> None:
    for household, level, until in (
        ("h1", COUNTED, SUNDAY),
        ("h2", BY_NAME, NEXT),
        ("h3", NOTHING, None),
        ("h4", COUNTED, MONDAY),
    ):
        with store.writing(household) as writing:
            writing.put_enrolment(enrolled(household, level, until))
            if household != "h4":
                writing.save_followed(FOLLOWED, [])
    with store.counting() as counting:
        assert list(counting.lingering(NEXT, 9)) == ["h1", "h3"]
        assert list(counting.lingering(NEXT, 1)) == ["h1"]


def test_a_new_log_forgets_what_was_saved_of_the_old_one_and_keeps_the_enrolment(store: Store) -> None:
    begin(store)
    with store.writing(HOME) as writing:
        writing.put_enrolment(enrolled())
        writing.save_followed(FOLLOWED, [SPELL])
        home = writing.household()
        assert home is not None
        writing.replace_log(home, [], NOW)
    with store.reading(HOME) as reading:
        assert reading.followed() is None
        assert reading.saved_spells() == []
        assert reading.enrolment() == enrolled()


def test_a_deleted_household_leaves_nothing_behind(store: Store) -> None:
    begin(store)
    with store.coaching_writing() as coaching:
        coaching.put_question(QUESTION)
        coaching.put_question(replace(QUESTION, id="q2", household="h2"))
    with store.writing(HOME) as writing:
        writing.put_enrolment(enrolled())
        writing.save_followed(FOLLOWED, [SPELL])
        writing.clear()
    with store.reading(HOME) as reading:
        assert (reading.enrolment(), reading.followed(), list(reading.saved_spells())) == (None, None, [])
    with store.coaching_reading() as left:
        assert [one.id for one in left.questions("g1")] == ["q2"]
    with pytest.raises(NotStarted), store.writing(HOME) as writing:
        writing.append([], NOW)


def test_what_is_told_of_a_group_is_told_by_one_writer_at_a_time(sql_store: SqlStore) -> None:
    begun, went_on = threading.Event(), threading.Event()

    def tell_second() -> None:
        begun.wait(10)
        with sql_store.coaching_writing() as writing:
            told = writing.published("g1", "stops")
            went_on.set()
            writing.publish("g1", "stops", SUNDAY, f"[{len(told)}]")

    second = threading.Thread(target=tell_second)
    second.start()
    with sql_store.coaching_writing() as writing:
        assert writing.published("g1", "stops") == []
        begun.set()
        assert not went_on.wait(0.3)
        writing.publish("g1", "stops", MONDAY, "[]")
    second.join(10)
    with sql_store.coaching_reading() as reading:
        assert list(reading.published("g1", "stops")) == [(MONDAY, "[]"), (SUNDAY, "[1]")]
