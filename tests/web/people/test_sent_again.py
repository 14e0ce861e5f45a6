"""What lets somebody in is asked for again: done once, said again to who asked, kept nowhere in the clear."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from coach.web.api import sealing
from web.at_home import HomeHouse

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from fastapi.testclient import TestClient
    from httpx2 import Response

ASKED: dict[str, tuple[dict[str, Any], dict[str, Any]]] = {
    "/api/pairing": ({}, {"for": "me"}),
    "/api/invitations": ({}, {"for": "household"}),
    "/api/tokens": ({"name": "the wall"}, {"name": "the wall", "scope": "write"}),
    "/api/feeds": ({"name": "phone"}, {"name": "phone", "holds": ["dues"]}),
}
"""Where a secret is asked for, with a body and another one."""


@pytest.fixture
def home(tmp_path: Path) -> Iterator[HomeHouse]:
    house = HomeHouse(tmp_path)
    yield house
    house.close()


def kept(home: HomeHouse) -> tuple[Any, ...]:
    """How many codes, sessions and lines of the door's log there are."""
    with home.app.state.context.store.people_reading() as reading:
        return len(reading.codes("home")), len(reading.sessions("home")), len(reading.sign_ins("home", 500))


def send(by: TestClient, address: str, body: dict[str, Any], request_id: str = "one") -> Response:
    return by.post(address, json=body | {"request_id": request_id})


def kind(answer: Response) -> tuple[int, str]:
    return answer.status_code, answer.json()["type"]


@pytest.mark.parametrize("address", ASKED)
def test_a_secret_is_made_once_and_said_again_to_the_device_that_asked(home: HomeHouse, address: str) -> None:
    home.start()
    ana, ben = home.paired("Ana"), home.paired("Ben", 8)
    body, other = ASKED[address]
    first, held = send(ana, address, body), kept(home)
    again = send(ana, address, body)
    assert (first.status_code, again.status_code, again.content) == (201, 201, first.content)
    assert kind(send(ana, address, other)) == (422, "/problems/asked-otherwise")
    assert first.content not in send(ben, address, body).content
    assert send(ben, address, body).status_code in {403, 422}
    assert kept(home) == held
    assert send(ana, address, body, "two").content != first.content


@pytest.mark.parametrize("address", ASKED)
def test_after_a_restart_it_says_that_it_was_done_and_makes_no_other(home: HomeHouse, address: str) -> None:
    home.start()
    ana, body = home.paired("Ana"), ASKED[address][0]
    first, held = send(ana, address, body).json(), kept(home)
    with home.app.state.context.store.reading("home") as reading:
        answered = reading.answered("one", home.now)
    assert answered is not None
    assert next(first[name] for name in ("code", "token", "path") if name in first) not in answered.body
    sealing._seal.cache_clear()  # noqa: SLF001  as another process has it
    assert kind(send(ana, address, body)) == (409, "/problems/said-once")
    assert kept(home) == held


def test_before_the_household_has_started_a_code_is_made_once_too(home: HomeHouse) -> None:
    first, again = send(home.http, "/api/pairing", {}), send(home.http, "/api/pairing", {})
    assert (first.status_code, again.content) == (201, first.content)
    assert kept(home)[0] == 1


@pytest.mark.parametrize("address", ["/api/pair", "/api/enrol"])
def test_a_code_lets_in_once_under_an_id_and_nobody_else_under_it(home: HomeHouse, address: str) -> None:
    home.start()
    body = {"code": home.code(), "name": "Ana", "device": "phone", "token": "write"}
    first, held = send(home.phone(), address, body), kept(home)
    again = send(home.phone(), address, body | {"code": body["code"].lower()})
    assert (first.status_code, again.status_code, again.content) == (201, 201, first.content)
    for change in ({"name": "Ben"}, {"device": "tablet"}, {"token": None}):
        answer = send(home.phone(), address, body | change)
        assert kind(answer) == (422, "/problems/asked-otherwise")
        assert "set-cookie" not in answer.headers
    assert kept(home) == held


def test_signing_out_again_finds_nobody_signed_in_and_ends_no_other_device(home: HomeHouse) -> None:
    home.start()
    phone, tablet = home.paired("Ana"), home.paired("Ana", 8, "tablet")
    cookies = dict(phone.cookies)
    assert send(phone, "/api/sign-out", {}).json() == {"paired": False}
    phone.cookies.update(cookies)
    assert kind(send(phone, "/api/sign-out", {})) == (401, "/problems/unpaired")
    assert kind(send(tablet, "/api/sign-out", {})) == (422, "/problems/asked-otherwise")
    assert tablet.get("/api/today").status_code == 200
