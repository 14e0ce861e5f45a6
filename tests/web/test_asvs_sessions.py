"""OWASP ASVS 5.0.0 V6 and V7, who is let in and for how long; docs/security.md says which each test shows."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

import pytest

from coach.errors import StoreError
from coach.household.devices import LONGEST, UNSEEN, hashed
from web.at_home import HomeHouse
from web.attacked import Attacked, cookie, is_unpaired, secret_of

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from starlette.testclient import TestClient

HOUR = timedelta(hours=1)


@pytest.fixture
def home(tmp_path: Path) -> Iterator[Attacked]:
    house = Attacked(tmp_path)
    yield house
    house.close()


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Attacked]:
    """A house for the tests in which nobody is put out and no time passes."""
    house = Attacked(tmp_path_factory.mktemp("shared"))
    yield house
    house.close()


def test_nobody_is_there_before_somebody_is_let_in(tmp_path: Path) -> None:
    house = HomeHouse(tmp_path)
    with house.app.state.context.store.people_reading() as reading:
        assert not reading.members("home")
        assert not reading.sessions("home")
        assert not reading.codes("home")
    for name in ("admin", "root", "home", "steading", "keeper"):
        headers = cookie(name) | {"authorization": f"Bearer {name}"}
        assert is_unpaired(house.phone().get("/today", headers=headers))
        assert is_unpaired(house.phone().get("/today", headers=cookie(name)))
    house.close()


def _is_in(phone: TestClient) -> bool:
    return phone.get("/api/today").status_code == 200


def test_a_device_that_is_not_seen_for_ninety_days_is_let_in_no_more(home: Attacked) -> None:
    assert timedelta(days=90) == UNSEEN
    home.now += UNSEEN - HOUR
    assert _is_in(home.ana)
    home.now += HOUR
    assert _is_in(home.ana)
    assert is_unpaired(home.ben.get("/api/today"))


def test_a_device_is_paired_anew_after_a_year_however_often_it_is_seen(home: Attacked) -> None:
    assert timedelta(days=365) == LONGEST
    ends = home.now + LONGEST
    while home.now + timedelta(days=80) < ends:
        home.now += timedelta(days=80)
        assert _is_in(home.ana)
    home.now = ends - HOUR
    assert _is_in(home.ana)
    home.now = ends
    assert is_unpaired(home.ana.get("/api/today"))
    assert is_unpaired(home.ana.post("/api/pairing"))


def test_somebody_who_left_the_household_is_out_with_every_device(home: Attacked) -> None:
    tablet = home.paired("Ben", 9, "tablet")
    store = home.app.state.context.store
    ben = store.shown(hashed(secret_of(home.ben))).session.person
    with store.people_writing() as writing:
        writing.drop_member("home", ben)
    for phone in (home.ben, tablet):
        assert is_unpaired(phone.get("/api/today"))
        assert is_unpaired(phone.put(f"/api/days/{home.today}/marks/bed-made", json={"mark": "kept"}))
    assert _is_in(home.ana)


def test_a_device_that_was_ended_is_out_at_its_next_request_and_no_other(shared: Attacked) -> None:
    tablet, lost = shared.paired("Ben", 9, "tablet"), shared.paired("Ben", 11)
    store = shared.app.state.context.store
    session = store.shown(hashed(secret_of(lost))).session
    with store.people_writing() as writing:
        writing.drop_session("home", session.id)
    assert is_unpaired(lost.get("/api/today"))
    assert _is_in(tablet)
    assert _is_in(shared.ana)


def test_one_person_may_have_several_devices_at_a_time(shared: Attacked) -> None:
    devices = [shared.ben, *(shared.paired("Ben", 10 + number, f"device {number}") for number in range(3))]
    assert all(_is_in(device) for device in devices)
    assert len({secret_of(device) for device in devices}) == len(devices)


def test_a_code_is_for_whom_it_was_made_and_for_nobody_else(shared: Attacked) -> None:
    code = shared.code(shared.ben, **{"for": "me"})
    answer = shared.phone(9).post("/api/pair", json={"code": code, "name": "Ana", "device": "x"})
    store = shared.app.state.context.store
    assert answer.json()["person"] == store.shown(hashed(secret_of(shared.ben))).session.person


def test_looking_at_the_page_of_pairing_lets_nobody_in(shared: Attacked) -> None:
    code = shared.code()
    for path in ("/pair", f"/pair?code={code}", f"/pair/{code}", f"/api/pair?code={code}"):
        answer = shared.phone(9).get(path)
        assert "set-cookie" not in answer.headers
    assert shared.phone(9).post("/api/pair", json={"code": code, "name": "Ana"}).status_code == 201


def test_while_sessions_cannot_be_read_nobody_is_let_in(
    shared: Attacked, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(_: str) -> None:
        raise StoreError("The database cannot be read.")

    monkeypatch.setattr(shared.app.state.context.store, "shown", broken)
    phone = shared.ana
    for answer in (phone.get("/api/today"), phone.get("/today"), phone.post("/api/pairing")):
        assert answer.status_code == 503
        assert "cannot be read" in answer.text
        assert "bed-made" not in answer.text
    assert phone.get("/static/ground.css").status_code == 200
