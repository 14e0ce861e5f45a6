"""Passkeys and recovery sheets where many households are hosted: of coaches, and of several homes."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

import pytest

from web.many import PUBLIC, ManyHouse
from web.people.authenticator import Device
from web.people.with_passkeys import added, asked, sign_in

if TYPE_CHECKING:
    from collections.abc import Iterator

    from httpx2 import Response


@pytest.fixture
def many(tmp_path_factory: pytest.TempPathFactory) -> Iterator[ManyHouse]:
    house = ManyHouse(tmp_path_factory.mktemp("many"))
    yield house
    house.close()


def kind(answer: Response) -> tuple[int, str]:
    return answer.status_code, answer.json()["type"].rpartition("/")[2]


def as_coach(many: ManyHouse) -> list[bool]:
    """Whether each of Cora's sessions opens her groups."""
    with many.store.people_reading() as reading:
        return [one.as_coach for one in reading.sessions_of("cora")]


def test_a_coach_without_a_household_adds_one_and_signs_in_as_a_coach(many: ManyHouse) -> None:
    laptop = many.signed_in(many.person("Cora", coaches=True))
    device = added(laptop, Device(PUBLIC))
    phone = many.browser("198.51.100.9")
    options = asked(phone)
    assert options["rpId"] == "steading.example"
    answer = phone.post("/api/sign-in", json={"answer": device.get(options), "device": "phone"})
    assert (answer.status_code, answer.json()["household"]) == (201, "")
    assert "Max-Age=2592000" in answer.headers["set-cookie"]
    names = [one["name"] for one in phone.get("/api/passkeys").json()["passkeys"]]
    assert sorted(names) == ["blue phone", "laptop"]
    assert as_coach(many) == [True, True]
    assert 'href="/groups"' in phone.get("/passkeys").text
    many.now += timedelta(days=1)
    assert phone.get("/api/passkeys").status_code == 401


def test_a_coach_prints_a_sheet_and_comes_in_by_it(many: ManyHouse, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("coach.household.recovery.code_hash", lambda code: f"hash of {code}")
    laptop = many.signed_in(many.person("Cora", coaches=True))
    code = laptop.post("/api/recovery", json={}).json()["codes"][0]
    assert f"{PUBLIC}/sign-in" in laptop.post("/recovery", data={}).text.replace("<wbr>", "")
    code = laptop.post("/api/recovery", json={}).json()["codes"][0]
    phone = many.browser("198.51.100.9")
    assert phone.post("/api/sign-in/recovery", json={"code": code}).status_code == 201
    assert as_coach(many) == [True, True]


def test_one_of_two_households_comes_back_to_the_one_they_asked_about_last(many: ManyHouse) -> None:
    first = many.household("Ana", "first")
    many.household("Olga", "second")
    device = added(first, Device(PUBLIC))
    many.now += timedelta(hours=2)
    many.moved_in("ana", "second", "member")
    assert sign_in(many.browser("198.51.100.9"), device).json()["household"] == "second"


def test_another_households_keeper_sees_and_removes_none_of_them(many: ManyHouse) -> None:
    ana, olga = many.household("Ana", "first"), many.household("Olga", "second")
    added(ana, Device(PUBLIC))
    [passkey] = ana.get("/api/passkeys").json()["passkeys"]
    assert olga.get("/api/passkeys").json()["passkeys"] == []
    assert kind(olga.delete(f"/api/passkeys/{passkey['id']}?last=true")) == (404, "unknown")
    assert kind(olga.patch(f"/api/passkeys/{passkey['id']}", json={"name": "x"})) == (404, "unknown")


def test_a_counter_that_goes_back_is_told_at_the_door_of_the_one_whose_it_is(many: ManyHouse) -> None:
    ana = many.household("Ana", "first")
    device = added(ana, Device(PUBLIC, counter=5))
    device.counter = 1
    assert kind(sign_in(many.browser("198.51.100.9"), device)) == (403, "wrong-passkey")
    with many.store.people_reading() as reading:
        assert reading.sign_ins("first", 1)[0].outcome == "refused: its counter went back"


def test_one_who_belongs_nowhere_any_more_signs_in_nowhere(many: ManyHouse) -> None:
    many.household("Olga", "first")
    ana = many.moved_in(many.person("Ana"), "first", "member")
    device = added(ana, Device(PUBLIC))
    with many.store.people_writing() as people:
        people.drop_member("first", "ana")
    assert kind(sign_in(many.browser("198.51.100.9"), device)) == (403, "wrong-passkey")


def test_by_an_address_that_is_not_encrypted_there_are_none_but_on_ones_own_machine(
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    for public, status in (("http://steading.example", 409), ("http://localhost:8420", 201)):
        house = ManyHouse(tmp_path_factory.mktemp("plain"), public_url=public)
        assert house.browser(base=public).post("/api/sign-in/begin").status_code == status, public
        house.close()
