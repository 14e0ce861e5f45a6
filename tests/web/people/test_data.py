"""What deleting everything, a log that comes in and a backup that comes back do with people and devices."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from coach.ground.passkeys import Passkey
from web.at_home import HomeHouse

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


@pytest.fixture
def home(tmp_path: Path) -> Iterator[HomeHouse]:
    house = HomeHouse(tmp_path)
    house.start()
    yield house
    house.close()


def restore(home: HomeHouse, backup: bytes) -> None:
    """Bring a backup back on the machine itself."""
    shown = home.http.post("/rescue/restore", files={"saved": ("a file", backup)}).headers["location"]
    assert home.http.post(shown).status_code == 303


def names(home: HomeHouse) -> list[str]:
    return sorted(one["name"] for one in home.http.get("/api/people").json()["people"])


def test_deleting_everything_lets_nobody_in_and_forgets_who_there_was(home: HomeHouse) -> None:
    ana, ben = home.paired("Ana"), home.paired("Ben", 9)
    ben.put(f"/api/days/{home.today}/marks/bed-made", json={"mark": "kept"})
    [gone] = [one["person"] for one in ana.get("/api/people").json()["people"] if one["name"] == "Ben"]
    assert ana.delete(f"/api/people/{gone}").status_code == 200
    code = home.code()
    answer = ana.post("/data/forget", data={"confirmation": "delete"})
    assert (answer.headers["location"], "clear-site-data" in answer.headers) == ("/pair", True)
    assert ana.get("/today").status_code == 401
    assert home.phone(10).post("/api/pair", json={"code": code, "name": "Ana"}).status_code == 403
    with home.app.state.context.store.engine.connect() as connection:
        for table in ("person", "member", "session", "code", "log"):
            rows = connection.exec_driver_sql(f"SELECT * FROM {table}").all()  # noqa: S608  a name of ours
            assert rows == [], table
    home.start()
    assert names(home) == []


def test_one_who_was_taken_out_keeps_a_name_while_rows_name_them(home: HomeHouse) -> None:
    ana, ben, dora = home.paired("Ana"), home.paired("Ben", 9), home.paired("Dora", 10)
    assert dora.get("/today").status_code == 200
    ben.put(f"/api/days/{home.today}/marks/bed-made", json={"mark": "kept"})
    keys = {one["name"]: one["person"] for one in ana.get("/api/people").json()["people"]}
    for name in ("Ben", "Dora"):
        assert ana.delete(f"/api/people/{keys[name]}").status_code == 200
    with home.app.state.context.store.engine.connect() as connection:
        kept = connection.exec_driver_sql("SELECT name FROM person ORDER BY name").scalars().all()
    assert kept == ["Ana", "Ben"]


def test_people_and_devices_stay_when_a_log_comes_in(home: HomeHouse) -> None:
    ana, log = home.paired("Ana"), home.http.get("/api/log.csv").content
    shown = ana.post("/data/import", files={"log": ("log.csv", log)}).headers["location"]
    seen = home.app.state.context.store.version("home").version
    assert ana.post(shown, data={"seen": str(seen)}).status_code == 303
    assert ana.get("/today").status_code == 200
    assert names(home) == ["Ana"]


def test_an_ended_device_stays_ended_whatever_backup_comes_back(home: HomeHouse) -> None:
    home.paired("Ana")
    ben = home.paired("Ben", 9)
    backup = home.http.get("/data/backup").content
    [device] = ben.get("/api/devices").json()["devices"]
    assert ben.delete(f"/api/devices/{device['id']}").status_code == 200
    restore(home, backup)
    assert ben.get("/today").status_code == 401
    assert names(home) == ["Ana", "Ben"]


def test_what_is_let_in_now_stays_so_if_its_person_comes_back_too(home: HomeHouse) -> None:
    ana = home.paired("Ana")
    backup, code = home.http.get("/data/backup").content, home.code()
    later, dora = home.paired("Ana", 8, "tablet"), home.paired("Dora", 9)
    restore(home, backup)
    assert [one.get("/today").status_code for one in (ana, later, dora)] == [200, 200, 401]
    assert home.phone(10).post("/api/pair", json={"code": code, "name": "Ana"}).status_code == 403
    assert "Dora" not in home.http.get("/people").text


def test_a_removed_passkey_stays_removed_and_a_new_one_stays_whatever_backup_comes_back(
    home: HomeHouse,
) -> None:
    ana, store = home.paired("Ana"), home.app.state.context.store
    [person] = [one["person"] for one in ana.get("/api/people").json()["people"]]
    with store.people_writing() as writing:
        writing.add_passkey(Passkey("lost", person, "key", 0, "lost phone", home.now, home.now))
        writing.put_sheet(person, "BCDF", ["old"], home.now)
    backup = home.http.get("/data/backup").content
    dora = home.paired("Dora", 9)
    [other] = [one["person"] for one in dora.get("/api/people").json()["people"] if one["name"] == "Dora"]
    with store.people_writing() as writing:
        writing.drop_passkey(person, "lost")
        writing.put_sheet(person, "GHJK", ["new"], home.now)
        for key, whose in (("new", person), ("gone", other)):
            writing.add_passkey(Passkey(key, whose, "key", 0, "phone", home.now, home.now))
    restore(home, backup)
    with home.app.state.context.store.people_reading() as reading:
        found = {key: reading.passkey(key) is not None for key in ("lost", "new", "gone")}
        assert found == {"lost": False, "new": True, "gone": False}
        assert (reading.recovering("old"), reading.recovering("new")) == (None, person)


def test_a_backup_of_a_fresh_machine_lets_nobody_in(home: HomeHouse, tmp_path: Path) -> None:
    ana = home.paired("Ana")
    backup = home.http.get("/data/backup").content
    (tmp_path / "other").mkdir()
    other = HomeHouse(tmp_path / "other")
    restore(other, backup)
    phone = other.phone()
    phone.cookies.set("steading", ana.cookies["steading"])
    assert phone.get("/today").status_code == 401
    assert names(other) == ["Ana"]
    other.close()
