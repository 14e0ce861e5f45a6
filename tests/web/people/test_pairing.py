"""Pairing at home: codes, devices that are let in, and wrong tries."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

import pytest

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


def test_the_machine_itself_needs_no_pairing_and_a_phone_does(home: HomeHouse) -> None:
    assert home.http.get("/api/today").status_code == 200
    refused = home.phone().get("/api/today")
    assert (refused.status_code, refused.json()["type"]) == (401, "/problems/unpaired")


def test_a_phone_that_has_the_code_is_let_in(home: HomeHouse) -> None:
    ana = home.paired("Ana")
    assert ana.get("/api/today").status_code == 200
    answer = ana.put(f"/api/days/{home.today}/marks/bed-made", json={"mark": "kept"})
    assert answer.status_code == 200


def test_a_program_gets_a_token_and_needs_no_origin(home: HomeHouse) -> None:
    program = home.phone()
    del program.headers["origin"]
    answer = program.post("/api/pair", json={"code": home.code(), "name": "Ana", "token": "write"})
    assert "set-cookie" not in answer.headers
    program.headers["authorization"] = f"Bearer {answer.json()['token']}"
    mark = program.put(f"/api/days/{home.today}/marks/bed-made", json={"mark": "kept"})
    assert mark.status_code == 200


def test_a_cookie_without_an_origin_changes_nothing(home: HomeHouse) -> None:
    ana = home.paired("Ana")
    del ana.headers["origin"]
    answer = ana.put(f"/api/days/{home.today}/marks/bed-made", json={"mark": "kept"})
    assert (answer.status_code, answer.json()["type"]) == (403, "/problems/cross-site")


def test_the_sixth_code_is_refused_even_if_it_is_right(home: HomeHouse) -> None:
    code = home.code()
    for number in range(5):
        wrong = home.phone(number + 10).post("/api/pair", json={"code": "B" * 8, "name": "Ana"})
        assert wrong.status_code == 403
    right = home.phone(20).post("/api/pair", json={"code": code, "name": "Ana"})
    assert (right.status_code, right.json()["type"]) == (403, "/problems/wrong-code")


def test_a_code_is_used_once_and_for_ten_minutes(home: HomeHouse) -> None:
    code = home.code()
    assert home.phone().post("/api/pair", json={"code": code, "name": "Ana"}).status_code == 201
    assert home.phone(8).post("/api/pair", json={"code": code, "name": "Ben"}).status_code == 403
    late = home.code()
    home.now += timedelta(minutes=10)
    assert home.phone(9).post("/api/pair", json={"code": late, "name": "Ben"}).status_code == 403
