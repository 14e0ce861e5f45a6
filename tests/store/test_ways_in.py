"""Passkeys, recovery sheets and what a device is asked to sign, over every store."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from coach.ground.passkeys import Ceremony, Passkey, Sheet
from coach.progress.log import What
from store.tern_street import HOME, NOW
from store.test_people import marked, moved_in

if TYPE_CHECKING:
    from coach.ground.ports import Store

SOON = NOW + timedelta(minutes=5)


def passkey(person: str = "b", credential: str = "cred", minutes: int = 0) -> Passkey:
    made = NOW + timedelta(minutes=minutes)
    return Passkey(credential, person, "COSE", 0, "blue phone", made, made)


def equipped(store: Store, person: str = "b") -> None:
    """A household whose one member has a passkey and a sheet, and adds another passkey just now."""
    moved_in(store)
    with store.people_writing() as people:
        people.add_passkey(passkey(person))
        people.put_sheet(person, "sheet", ["one", "two"], NOW)
        people.add_ceremony("asked", Ceremony("add", person, SOON), 9)


def what_is_left(store: Store, person: str) -> tuple[bool, bool, bool]:
    with store.people_writing() as people:
        found = bool(people.passkeys(person)), people.sheet(person) is not None
        return *found, people.take_ceremony("asked") is not None


def test_a_passkey_is_found_by_its_credential_named_used_and_dropped_by_its_person(store: Store) -> None:
    moved_in(store)
    with store.people_writing() as people:
        people.add_passkey(passkey(credential="later", minutes=1))
        people.add_passkey(passkey())
        people.add_passkey(passkey("a", "hers"))
        people.name_passkey("b", "hers", "not mine to name")
        people.name_passkey("b", "cred", "Ben's key")
        people.used_passkey("cred", 7, SOON)
        people.drop_passkey("b", "hers")
    with store.people_reading() as people:
        assert [one.credential for one in people.passkeys("b")] == ["cred", "later"]
        assert people.passkey("cred") == Passkey("cred", "b", "COSE", 7, "Ben's key", NOW, SOON)
        assert people.passkey("hers") == passkey("a", "hers")
        assert people.passkey("none") is None
    with store.people_writing() as people:
        people.drop_passkey("b", "cred")
        assert [one.credential for one in people.passkeys("b")] == ["later"]


def test_a_new_sheet_takes_the_place_of_the_former_and_each_of_its_codes_goes_once(store: Store) -> None:
    moved_in(store)
    with store.people_writing() as people:
        people.put_sheet("a", "hers", ["her code"], NOW)
        people.put_sheet("b", "first", ["one", "two"], NOW)
        people.put_sheet("b", "second", ["three", "four"], SOON)
    with store.people_writing() as people:
        assert (people.recovering("one"), people.recovering("three")) == (None, "b")
        assert people.sheet("b") == Sheet("second", SOON, 2)
        people.drop_recovery("three")
        assert (people.recovering("three"), people.sheet("b")) == (None, Sheet("second", SOON, 1))
        assert (people.is_sheet("first"), people.is_sheet("second")) == (False, True)
        people.drop_recovery("four")
        assert people.sheet("b") is None
        people.drop_sheet("b")
        assert people.recovering("her code") == "a"


def test_what_a_device_was_asked_to_sign_comes_once_until_it_is_over(store: Store) -> None:
    with store.people_writing() as people:
        people.add_ceremony("first", Ceremony("sign in", "", NOW), 9)
        people.add_ceremony("second", Ceremony("add", "b", SOON), 9)
        people.drop_ceremonies(NOW)
    with store.people_writing() as people:
        assert people.take_ceremony("first") is None
        assert people.take_ceremony("second") == Ceremony("add", "b", SOON)
        assert people.take_ceremony("second") is None


def test_of_too_many_ceremonies_those_that_end_first_are_forgotten(store: Store) -> None:
    with store.people_writing() as people:
        for number in range(4):
            ends = NOW + timedelta(minutes=number)
            people.add_ceremony(f"asked {number}", Ceremony("sign in", "", ends), 2)
    with store.people_writing() as people:
        found = [people.take_ceremony(f"asked {number}") is not None for number in range(4)]
        assert found == [False, False, True, True]


def test_one_who_is_taken_out_keeps_no_way_in(store: Store) -> None:
    equipped(store, "a")
    with store.people_writing() as people:
        people.drop_member(HOME, "a")
        people.forget_person("a")
    assert what_is_left(store, "a") == (False, False, False)


def test_one_whose_name_stays_beside_what_they_marked_keeps_no_way_in_either(store: Store) -> None:
    equipped(store, "a")
    marked(store, What.KEPT, "a")
    with store.people_writing() as people:
        people.drop_member(HOME, "a")
        people.forget_person("a")
    assert what_is_left(store, "a") == (False, False, False)
    with store.reading(HOME) as reading:
        assert reading.names_of({"a"}) == {"a": "Ana"}


def test_one_who_belongs_to_another_household_still_keeps_what_lets_them_in(store: Store) -> None:
    equipped(store, "a")
    with store.people_writing() as people:
        people.put_member("elsewhere", "a", "keeper", NOW)
        people.drop_member(HOME, "a")
        people.forget_person("a")
    assert what_is_left(store, "a") == (True, True, True)


def test_one_who_coaches_keeps_what_lets_them_in(store: Store) -> None:
    equipped(store, "a")
    with store.people_writing() as people:
        people.put_coach("a", NOW)
        people.drop_member(HOME, "a")
        people.forget_person("a")
        assert people.called("a") == "Ana"
    assert what_is_left(store, "a") == (True, True, True)


def test_a_household_that_ends_takes_along_what_let_its_people_in(store: Store) -> None:
    equipped(store)
    with store.writing(HOME) as writing:
        writing.clear()
    assert what_is_left(store, "b") == (False, False, False)
