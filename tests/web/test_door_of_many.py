"""The door where many households are hosted: who asks about which, and who is refused how."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

import pytest

from web.many import COOKIE, PUBLIC, ManyHouse

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


@pytest.fixture
def many(tmp_path: Path) -> Iterator[ManyHouse]:
    house = ManyHouse(tmp_path)
    yield house
    house.close()


@pytest.mark.parametrize("base", [PUBLIC, "https://127.0.0.1:8420", "https://localhost"])
def test_nobody_is_let_in_without_a_session_from_this_machine_either(many: ManyHouse, base: str) -> None:
    client = many.browser(base=base)
    del client.headers["x-forwarded-for"]
    known = base == PUBLIC
    for path in ("/today", "/api/today", "/healthz", "/devices", "/homes", "/groups"):
        assert client.get(path).status_code == (401 if known else 400), path


def test_two_households_see_their_own_day_and_not_the_other_ones(many: ManyHouse) -> None:
    ana, olga = many.household("Ana", "first"), many.household("Olga", "second")
    day = ana.get("/api/today").json()["date"]
    assert ana.put(f"/api/days/{day}/marks/bed-made", json={"mark": "kept"}).status_code == 200
    assert [one.get("/api/today").json()["checklist"][0]["mark"] for one in (ana, olga)] == ["kept", None]
    assert ana.post("/api/to-dos", json={"titles": ["Rill Lane key"]}).status_code == 201
    assert "Rill Lane key" in ana.get("/desk").text
    assert "Rill Lane key" not in olga.get("/desk").text
    assert "Rill Lane key" not in olga.get("/api/to-dos").text


def test_one_of_several_households_names_the_one_they_mean(many: ManyHouse) -> None:
    ana, olga = many.household("Ana", "first"), many.household("Olga", "second")
    many.moved_in("ana", "second", "member")
    day = olga.get("/api/today").json()["date"]
    asked = {"steading-household": "second"}
    marked = ana.put(f"/api/days/{day}/marks/bed-made", json={"mark": "small"}, headers=asked)
    assert marked.status_code == 200
    assert olga.get("/api/today").json()["checklist"][0]["mark"] == "small"
    assert ana.get("/api/today").json()["checklist"][0]["mark"] is None
    # What only a keeper does is refused in the household where they are none.
    assert ana.put("/api/pace", json={"pace": "gentle"}, headers=asked).status_code == 403


@pytest.mark.parametrize("named", ["second", "none", "first, second", " "])
def test_a_household_that_is_not_theirs_is_not_there(many: ManyHouse, named: str) -> None:
    ana, _ = many.household("Ana", "first"), many.household("Olga", "second")
    for path in ("/api/today", "/today", "/api/devices", "/homes"):
        assert ana.get(path, headers={"steading-household": named}).status_code == 404, (path, named)


def test_two_headers_that_differ_name_nothing(many: ManyHouse) -> None:
    ana = many.household("Ana", "first")
    many.household("Olga", "second")
    headers = [("steading-household", "first"), ("steading-household", "second"), *ana.headers.multi_items()]
    assert ana.get("/api/today", headers=headers).status_code == 404


def test_a_coach_without_a_household_is_led_to_the_groups(many: ManyHouse) -> None:
    cora = many.signed_in(many.person("Cora", coaches=True))
    page = cora.get("/today")
    assert (page.status_code, page.headers["location"]) == (303, "/groups")
    for path in ("/api/today", "/api/log.csv", "/api/to-dos"):
        assert cora.get(path).status_code == 404, path
    assert cora.post("/desk/to-dos", data={"title": "x"}).status_code == 404


def test_groups_are_not_there_for_one_who_is_let_in_otherwise(many: ManyHouse) -> None:
    ana = many.household("Ana", "first")
    ben = many.person("Ben", coaches=True)
    phone = many.moved_in(ben, "first", "member")
    for client in (ana, phone):
        for path in ("/groups", "/groups/any", "/api/groups", "/api/groups/any/stops"):
            assert client.get(path).status_code == 404, path


def test_a_coachs_session_opens_their_household_too_and_ends_after_a_day_unseen(many: ManyHouse) -> None:
    many.household("Ana", "first")
    ben = many.person("Ben", coaches=True)
    many.moved_in(ben, "first", "member")
    laptop = many.signed_in(ben)
    assert laptop.get("/api/today").status_code == 200
    many.now += timedelta(hours=24)
    assert laptop.get("/api/today").status_code == 401


def test_what_gives_or_takes_the_whole_database_is_closed(many: ManyHouse) -> None:
    ana = many.household("Ana", "first")
    for path in ("/data/backup", "/data/restore", "/data/copies/any", "/rescue", "/rescue/log.csv", "/trust"):
        assert ana.get(path).status_code == 404, path
    assert ana.post("/data/restore", files={"file": ("a.db", b"SQLite")}).status_code == 404
    data = ana.get("/data").text
    assert "/data/backup" not in data
    assert "/data/restore" not in data


def test_cookies_are_secure_whatever_the_proxy_speaks_to_the_service(many: ManyHouse) -> None:
    many.household("Ana", "first")
    phone = many.browser(base="http://steading.example")
    phone.headers["origin"] = PUBLIC
    answer = phone.post("/api/pair", json={"code": "BCDFGHJKLMNP", "name": "Ana"})
    # Compared with the public scheme the origin is ours: the code is wrong, and the site no foreign one.
    assert answer.status_code == 403
    assert answer.json()["type"] == "/problems/wrong-code"
    assert "strict-transport-security" in answer.headers


def test_a_plain_public_address_gets_no_such_header_and_a_plain_cookie(tmp_path: Path) -> None:
    house = ManyHouse(tmp_path, public_url="http://localhost:8420")
    assert "strict-transport-security" not in house.browser(base="http://localhost:8420").get("/pair").headers
    house.close()


def test_a_session_of_the_plain_name_lets_nobody_in_where_the_address_is_secure(many: ManyHouse) -> None:
    ana = many.household("Ana", "first")
    secret = ana.headers["cookie"].partition("=")[2]
    ana.headers["cookie"] = f"steading={secret}"
    assert ana.get("/api/today").status_code == 401
    ana.headers["cookie"] = f"{COOKIE}={secret}"
    assert ana.get("/api/today").status_code == 200


def test_a_change_without_a_word_of_where_it_comes_from_is_refused(many: ManyHouse) -> None:
    ana = many.household("Ana", "first")
    del ana.headers["origin"]
    assert ana.post("/api/to-dos", json={"titles": ["x"]}).status_code == 403
    ana.headers["origin"] = "https://elsewhere.example"
    assert ana.post("/api/to-dos", json={"titles": ["x"]}).status_code == 403
