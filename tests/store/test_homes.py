"""Whose home is where, who coaches, and codes that are named by their first letters, over every store."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING

from coach.ground.homes import Belonging, Somebody
from coach.ground.people import Code, Session
from store.tern_street import HOME, NOW, begin

if TYPE_CHECKING:
    from coach.ground.ports import Store

LATER = NOW + timedelta(days=30)
OTHER = "elsewhere"


def two_homes(store: Store) -> None:
    """Ben keeps one household and is a member of another one; Cora coaches and has none."""
    begin(store)
    with store.people_writing() as people:
        for minute, (person, name) in enumerate((("b", "Ben"), ("a", "Ana"), ("c", "Cora"))):
            people.add_person(person, name, NOW + timedelta(minutes=minute))
        people.put_member(HOME, "b", "keeper", NOW)
        people.put_member(OTHER, "a", "keeper", NOW)
        people.put_member(OTHER, "b", "member", LATER)
        people.put_coach("c", NOW)
        people.put_coach("c", LATER)


def session(person: str, name: str, household: str = "", *, as_coach: bool = False) -> Session:
    return Session(name, household, person, "browser", "write", name, NOW, NOW, LATER, as_coach)


def code(begins: str, group: str = "", **more: object) -> Code:
    made = Code("", "household", "", "c", 3, 0, NOW, LATER, group, "Rill Lane", begins)
    return replace(made, **more)  # type: ignore[arg-type]  # fields of a code


def test_the_households_of_a_person_are_told_with_what_they_are_there(store: Store) -> None:
    two_homes(store)
    with store.people_reading() as people:
        assert people.homes_of("b") == [Belonging(HOME, "keeper", NOW), Belonging(OTHER, "member", LATER)]
        assert people.homes_of("c") == []
        assert [people.role_of(OTHER, one) for one in "abc"] == ["keeper", "member", None]
        assert people.count_homes() == 2


def test_who_coaches_is_told_with_everybody(store: Store) -> None:
    two_homes(store)
    with store.people_reading() as people:
        assert [people.is_coach(one) for one in "abc"] == [False, False, True]
        assert people.everybody() == [
            Somebody("b", "Ben", NOW, is_coach=False),
            Somebody("a", "Ana", NOW + timedelta(minutes=1), is_coach=False),
            Somebody("c", "Cora", NOW + timedelta(minutes=2), is_coach=True),
        ]


def test_a_coach_without_a_household_is_not_forgotten(store: Store) -> None:
    two_homes(store)
    with store.people_writing() as people:
        people.forget_person("c")
    with store.people_reading() as people:
        assert "Cora" in [one.name for one in people.everybody()]


def test_a_session_says_whether_it_is_a_coachs_and_may_choose_another_household(store: Store) -> None:
    two_homes(store)
    with store.people_writing() as people:
        people.add_session("hash-c", session("c", "desk", as_coach=True))
        people.add_session("hash-b", session("b", "phone", HOME))
    shown = store.shown("hash-c")
    assert shown is not None
    assert (shown.session.as_coach, shown.role, shown.is_coach) == (True, None, True)
    phone = store.shown("hash-b")
    assert phone is not None
    assert (phone.session.as_coach, phone.role, phone.is_coach) == (False, "keeper", False)
    with store.people_writing() as people:
        people.choose("phone", OTHER)
    phone = store.shown("hash-b")
    assert phone is not None
    assert (phone.session.household, phone.role) == (OTHER, "member")


def test_all_sessions_of_a_person_are_told_and_end_together(store: Store) -> None:
    two_homes(store)
    with store.people_writing() as people:
        for name, person, household in (("one", "b", HOME), ("two", "b", OTHER), ("three", "a", OTHER)):
            people.add_session(f"hash-{name}", session(person, name, household))
    with store.people_writing() as people:
        assert {one.id for one in people.sessions_of("b")} == {"one", "two"}
        people.drop_sessions_of("b")
    assert [store.shown(f"hash-{name}") is None for name in ("one", "two", "three")] == [True, True, False]


def test_a_code_is_found_by_its_first_letters_and_wrong_tries_count_against_it_alone(store: Store) -> None:
    two_homes(store)
    with store.people_writing() as people:
        people.put_code("hash-1", code("BCDF", "g"))
        people.put_code("hash-2", code("GHJK", "g", household=HOME, kind="pairing"))
        people.wrong_named("BCDF", NOW)
        people.wrong_named("BCDF", LATER)
        people.wrong_named("", NOW)
        found = people.code_named("BCDF")
        assert found == code("BCDF", "g", wrong=1)
        other = people.code_named("GHJK")
        assert other is not None
        assert other.wrong == 0
        assert (people.code_named("XXXX"), people.code_named("")) == (None, None)
        assert people.code("hash-1") == found


def test_codes_of_one_group_are_kept_and_forgotten_apart_from_another_ones(store: Store) -> None:
    two_homes(store)
    with store.people_writing() as people:
        for number, group in enumerate(("g", "g", "other")):
            made = code(f"B{number}", group, made_at=NOW + timedelta(minutes=number))
            people.put_code(f"hash-{number}", made)
        people.keep_codes("", "household", 1, "g")
        assert [one.begins for one in people.codes_of("g")] == ["B1"]
        people.drop_codes_of("g", NOW)
        assert len(people.codes_of("g")) == 1
        people.drop_codes_of("g", LATER)
        assert (len(people.codes_of("g")), len(people.codes_of("other"))) == (0, 1)
        people.drop_codes_of("other")
        assert people.codes_of("other") == []
