"""What households of one service share without knowing of each other: memory, waiting files, the machine."""

from __future__ import annotations

import io
import re
from typing import TYPE_CHECKING

import pytest

from coach.errors import StoreError, Unknown
from coach.ground.course_names import group_course
from coach.household.devices import new_session
from coach.web.held import EVERYBODYS, MOST, Held
from web.many import PUBLIC, ManyHouse

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


@pytest.fixture
def many(tmp_path: Path) -> Iterator[ManyHouse]:
    house = ManyHouse(tmp_path)
    yield house
    house.close()


def test_a_household_puts_no_waiting_file_of_another_one_out() -> None:
    held = Held()
    first = held.put("first", "log", io.BytesIO(b"1"), "a.csv")
    for _ in range(MOST + 1):
        last = held.put("second", "log", io.BytesIO(b"2"), "b.csv")
    assert held.get(first, "first").name == "a.csv"
    assert held.get(last, "second").name == "b.csv"
    for number in range(EVERYBODYS):
        held.put(f"h{number}", "log", io.BytesIO(b"3"), "c.csv")
    with pytest.raises(Unknown):
        held.get(first, "first")
    held.clear()


def test_entries_of_two_calendars_are_told_apart_by_their_households(many: ManyHouse) -> None:
    found = []
    for name, household in (("Ana", "first"), ("Olga", "second")):
        client = many.household(name, household)
        assert client.post("/api/dues", json={"name": "Rent", "on": "2027-01-20"}).status_code == 201
        feed = client.post("/api/feeds", json={"name": "phone"}).json()
        assert feed["link"].startswith(f"{PUBLIC}/calendar/") if "link" in feed else True
        found.append(many.browser().get(feed["path"]).text)
    uids = [re.findall(r"UID:\S+", one.replace("\r\n ", "")) for one in found]
    assert all(one.endswith("@first") for one in uids[0])
    assert all(one.endswith("@second") for one in uids[1])
    assert uids[0]
    assert uids[1]
    assert all(PUBLIC in one.replace("\r\n ", "") for one in found)


def test_the_booklet_of_a_groups_course_is_for_its_households(many: ManyHouse) -> None:
    many.person("Cora", coaches=True)
    many.group("cora", "g")
    ana = many.household("Ana", "first")
    assert ana.get("/courses/three-weeks/booklet").status_code == 200
    assert ana.get(f"/courses/{group_course('g')}/booklet").status_code == 404
    assert ana.get("/courses/brought:any/booklet").status_code == 404


def test_a_coach_without_a_household_sees_and_ends_their_own_devices(many: ManyHouse) -> None:
    cora = many.signed_in(many.person("Cora", coaches=True))
    other = many.signed_in("cora")
    many.signed_in(many.person("Dora", coaches=True))
    devices = cora.get("/api/devices").json()["devices"]
    assert len(devices) == 2
    assert "laptop" in cora.get("/devices").text
    away = next(one["id"] for one in devices if not one["this"])
    assert cora.delete(f"/api/devices/{away}").status_code == 200
    assert other.get("/api/devices").status_code == 401


def test_a_person_ends_their_own_device_that_another_household_let_in(many: ManyHouse) -> None:
    ana = many.household("Ana", "first")
    many.household("Olga", "second")
    many.moved_in("ana", "second", "member")
    elsewhere = many.let_in(new_session("second", "ana", "old phone", many.now))
    found = {one["name"]: one["id"] for one in ana.get("/api/devices").json()["devices"]}
    assert ana.delete(f"/api/devices/{found['old phone']}").status_code == 200
    assert elsewhere.get("/api/today").status_code == 401


def test_what_is_wrong_with_the_database_names_no_file_of_the_machine(
    many: ManyHouse, monkeypatch: pytest.MonkeyPatch
) -> None:
    ana = many.household("Ana", "first")

    def broken(*_: object) -> None:
        raise StoreError("The database /srv/steading/home.db cannot be read.")

    monkeypatch.setattr(many.store, "reading", broken)
    monkeypatch.setattr(many.store, "version", broken)
    for path in ("/api/today", "/today", "/healthz", "/desk"):
        answer = ana.get(path)
        assert (answer.status_code, "/srv" in answer.text) == (503, False), path
        assert "coach doctor" in answer.text


def test_one_households_changes_wake_nobody_of_another_one(many: ManyHouse) -> None:
    told: list[str] = []
    many.app.state.changes.tell = told.append
    ana, olga = many.household("Ana", "first"), many.household("Olga", "second")
    told.clear()
    ana.post("/api/to-dos", json={"titles": ["x"]})
    olga.post("/api/to-dos", json={"titles": ["x"]})
    assert told == ["first", "second"]
