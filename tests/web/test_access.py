"""Every route of the application, asked by everybody there can be: who is let in, and who is refused how."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import pytest
from fastapi.routing import iter_route_contexts
from starlette.routing import Mount

from coach.household import devices
from web.access_table import ACCESS, ANYBODY, COACH, KEEPER, MEMBER, OPEN, THEIRS
from web.at_home import HomeHouse
from web.test_every_write import BODIES

if TYPE_CHECKING:
    from collections.abc import Iterator

    from httpx2 import Response
    from starlette.testclient import TestClient

READING = {"GET", "HEAD"}
REFUSED = {401, 403}
LAST = (
    "POST /devices/codes/end",
    "POST /devices/others/end",
    "POST /sign-out",
    "POST /api/sign-out",
)
"""What takes the ground from under others, or from under itself."""

SAID: dict[str, dict[str, Any]] = {
    "PATCH /api/people/{person}": {"name": "Anna"},
    "POST /people/{person}/name": {"name": "Anna"},
    "POST /people/{person}/role": {"role": "keeper"},
    "POST /devices/{device}/name": {"name": "hall phone"},
    "POST /api/tokens": {"name": "wall"},
    "POST /devices/tokens": {"name": "wall"},
    "POST /api/feeds": {"name": "phone"},
    "POST /api/passkeys": {"answer": {}},
    "PATCH /api/passkeys/{passkey}": {"name": "phone"},
    "POST /passkeys/{passkey}/name": {"name": "phone"},
    "POST /api/sign-in": {"answer": {}},
    "POST /api/sign-in/recovery": {"code": "BCDF"},
    "PATCH /api/feeds/{feed}": {"name": "phone"},
    "POST /calendar": {"name": "phone", "holds": "jobs"},
    "POST /calendar/{feed}/change": {"name": "phone", "holds": "jobs"},
    "POST /settings": {"zone": "UTC", "day_starts": "04:00"},
    "POST /api/sheet/{week}/marks": {"marks": {}},
    "POST /data/forget": {"confirmation": "no"},
    "POST /api/start": {"first": "bed-made"},
    "POST /start": {"first": "bed-made", "zone": "UTC"},
}


PLACES = {
    "step": "bed-made",
    "week": "2027-W01",
    "month": "2027-01",
    "course": "three-weeks",
    "slot": "evening",
    "line": "1",
    "number": "1",
    "favourite": "pancakes",
    "todo": "20270104-0001",
    "page": "20270104-0001",
    "area": "kitchen",
    "task": "t33",
    "name": "unknown",
    "path": "tokens.css",
    "group": "g",
    "household": "first",
    "question": "20270104-0001",
    "answer_id": "20270104-0001",
    "passkey": "none",
    "since": "2027-02-01",
}
"""What stands in addresses."""


@dataclass
class Everybody:
    """A house and whoever asks it."""

    home: HomeHouse
    ana: TestClient
    ben: TestClient
    read: TestClient
    ended: TestClient
    nobody: TestClient
    other: TestClient
    places: dict[str, str]

    def ask(self, who: TestClient, route: str) -> Response:
        """Ask for a route with the parts of its address filled in, as a page or a program would."""
        method, address = route.format_map(self.places).split(" ")
        said = SAID.get(route, BODIES.get(route, {}))
        if method in READING:
            return who.get(address)
        if address.startswith("/api"):
            return who.request(method, address, json=said)
        return who.request(method, address, data=said)

    def refused(self, who: TestClient, routes: Iterator[str]) -> dict[str, int]:
        """What each route answers."""
        return {route: self.ask(who, route).status_code for route in routes}


def _other(home: HomeHouse, now: Any) -> TestClient:  # noqa: ANN401  an instant
    """The keeper of another household, with a device that is let in there."""
    secret, hashed = devices.new_secret()
    with home.app.state.context.store.people_writing() as writing:
        writing.add_person("olga", "Olga", now)
        writing.put_member("other", "olga", "keeper", now)
        writing.add_session(hashed, devices.new_session("other", "olga", "phone", now))
    client = home.phone(30)
    client.cookies.set("steading", secret)
    return client


def _token(home: HomeHouse, ana: TestClient, scope: str) -> tuple[TestClient, str]:
    made = ana.post("/api/tokens", json={"name": "wall", "scope": scope}).json()
    program = home.phone(31)
    program.headers["authorization"] = f"Bearer {made['token']}"
    return program, made["id"]


@pytest.fixture(scope="module")
def all_of_them(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Everybody]:
    home = HomeHouse(tmp_path_factory.mktemp("access"))
    home.start()
    ana, ben, ended = home.paired("Ana"), home.paired("Ben", 8), home.paired("Carl", 9)
    read, token = _token(home, ana, "read")
    listed = ana.get("/api/devices").json()["devices"]
    ids = {one["person_name"]: one["id"] for one in listed}
    people = {one["name"]: one["person"] for one in ana.get("/api/people").json()["people"]}
    ana.delete(f"/api/devices/{ids['Carl']}")
    assert ana.post("/api/dues", json={"name": "Rent", "on": "2027-01-20"}).status_code == 201
    feed = ana.post("/api/feeds", json={"name": "phone"}).json()
    places = PLACES | {
        "feed": feed["feed"]["id"],
        "secret": feed["path"].removeprefix("/calendar/").removesuffix(".ics"),
        "date": str(home.today),
        "due": ana.get("/api/dues").json()["dues"][0]["id"],
        "device": ids["Ana"],
        "person": people["Ana"],
        "token": token,
    }
    yield Everybody(home, ana, ben, read, ended, home.phone(32), _other(home, home.now), places)
    home.close()


def _routes(*levels: str, writing: bool | None = None) -> Iterator[str]:
    for route, level in sorted(
        ACCESS.items(), key=lambda one: LAST.index(one[0]) + 1 if one[0] in LAST else 0
    ):
        reads = route.split(" ")[0] in READING
        if level in levels and (writing is None or reads != writing):
            yield route


CLOSED = (MEMBER, THEIRS, KEEPER)


def test_every_route_has_its_row_and_every_row_its_route(all_of_them: Everybody) -> None:
    there = set()
    for one in iter_route_contexts(all_of_them.home.app.routes):
        path, methods = one.path_format or one.path, one.methods or {"GET"}
        if isinstance(one.original_route, Mount):
            methods = {"GET"}
        there |= {f"{method} {path}" for method in methods - {"HEAD"}}
    assert sorted(there - ACCESS.keys()) == []
    assert sorted(ACCESS.keys() - there) == []


@pytest.mark.parametrize("who", ["nobody", "ended", "other"])
def test_who_was_not_let_in_is_refused_everywhere_and_reads_and_writes_nothing(
    all_of_them: Everybody, who: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    store = all_of_them.home.app.state.context.store
    with monkeypatch.context() as patched:
        for name in ("reading", "writing", "version", "people_reading", "people_writing"):
            patched.setattr(store, name, None)
        found = all_of_them.refused(getattr(all_of_them, who), _routes(*CLOSED))
    assert {route: status for route, status in found.items() if status != 401} == {}


def test_what_is_open_asks_nobody_who_they_are(all_of_them: Everybody) -> None:
    found = all_of_them.refused(all_of_them.nobody, _routes(OPEN))
    assert {route: status for route, status in found.items() if status == 401} == {}


def test_what_belongs_to_many_households_is_not_there_where_there_is_one(all_of_them: Everybody) -> None:
    found = all_of_them.refused(all_of_them.ana, _routes(COACH, ANYBODY))
    assert {route: status for route, status in found.items() if status != 404} == {}


def test_a_token_to_read_with_changes_nothing(all_of_them: Everybody) -> None:
    version = all_of_them.home.app.state.context.store.version("home").version
    found = all_of_them.refused(all_of_them.read, _routes(*CLOSED, writing=True))
    assert {route: status for route, status in found.items() if status != 403} == {}
    assert all_of_them.home.app.state.context.store.version("home").version == version
    reads = all_of_them.refused(all_of_them.read, _routes(MEMBER, writing=False))
    assert {route: status for route, status in reads.items() if status in REFUSED} == {}


def test_a_member_is_refused_what_keepers_do_and_what_is_another_ones(all_of_them: Everybody) -> None:
    found = all_of_them.refused(all_of_them.ben, _routes(KEEPER, THEIRS))
    assert {route: status for route, status in found.items() if status != 403} == {}


@pytest.mark.parametrize(("who", "levels"), [("ben", (MEMBER,)), ("ana", CLOSED)])
def test_nobody_is_refused_what_they_may_do(
    all_of_them: Everybody, who: str, levels: tuple[str, ...]
) -> None:
    here = [route for route in _routes(*levels) if route not in LAST and "{device}/end" not in route]
    # Its own device would be the one that ends.
    safe = [route for route in here if route != "DELETE /api/devices/{device}"]
    found = all_of_them.refused(getattr(all_of_them, who), iter(safe))
    assert {route: status for route, status in found.items() if status in REFUSED or status >= 500} == {}


def test_what_ends_devices_and_codes_is_not_refused_either(all_of_them: Everybody) -> None:
    for who, wanted in ((all_of_them.ben, LAST[1:3]), (all_of_them.ana, LAST)):
        for route in wanted[:3]:
            assert all_of_them.ask(who, route).status_code == 303, route
