"""Every JSON operation that writes does once what is asked under one id, and answers as the first time."""

from __future__ import annotations

import json
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import TYPE_CHECKING, Any

import pytest

from coach.errors import StoreError
from coach.ground import once
from coach.ground.people import KEEPER
from coach.store.memory import MemoryStore, MemoryWriting
from web.at_home import HomeHouse
from web.house import House
from web.kitchen.full_week import ask
from web.test_every_write import BODIES, HANDED
from web.week.house import SATURDAY, grown, log

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from httpx2 import Response

PLANNED, TO_COME = "2027-02-02", "2027-02-03"
DISH = {"dish": "Pie", "frozen": [{"name": "cod", "weight": "1 kg"}]}
ROOMS = ["Kitchen", "Bath", "Bedroom"]

SECRET = {
    "POST /api/pairing": "the code in its answer is a secret, which is kept sealed",
    "POST /api/pair": "the code names its requests, for nobody is let in yet",
    "POST /api/enrol": "the same",
    "POST /api/invitations": "as of a pairing code",
    "POST /api/tokens": "so is the token",
    "POST /api/feeds": "so is the address of a calendar",
    "POST /api/feeds/{feed}/secret": "the same; tests/web/calendar/test_feeds.py asks it",
    "PUT /api/reminder": "its answer says where somebody's messages go: tests/web/messages/test_reminders.py",
    "DELETE /api/reminder": "the same",
    "POST /api/passkeys/begin": "as of a pairing code; tests/web/people/test_passkeys.py asks these",
    "POST /api/passkeys": "what a device has made is taken once, whatever the request is called",
    "PATCH /api/passkeys/{passkey}": "only a house with TLS has a passkey",
    "DELETE /api/passkeys/{passkey}": "the same",
    "POST /api/sign-in/begin": "nobody is let in yet, and each asks for itself",
    "POST /api/sign-in": "what was signed names its requests: tests/web/people/test_passkeys.py",
    "POST /api/sign-in/recovery": "the code names its requests: tests/web/people/test_recovery.py",
    "POST /api/recovery": "its codes are secrets; the same",
    "POST /api/sign-out": "it ends what its own repeat would be let in by",
}
"""Operations that tests/web/people/test_sent_again.py asks, and why they are apart."""

PEOPLE = {
    "DELETE /api/devices/{device}",
    "DELETE /api/tokens/{token}",
    "PATCH /api/people/{person}",
    "PATCH /api/feeds/{feed}",
    "DELETE /api/feeds/{feed}",
    "DELETE /api/people/{person}",
}
"""Operations of people, devices and feeds, which a house of the home network has."""

OF_MANY = (
    "/api/groups",
    "/api/courses",
    "/api/questions",
    "/api/notes",
    "/api/sharing",
    "/api/homes",
    "/api/passkeys",
)
"""Where those stand that a service of many households has: tests/web/coaching/test_sent_again.py."""

NOTHING = "POST /api/areas/proposal"
"""It writes nothing, so there is nothing to remember."""

EACH = "/api/sign-in/begin"
"""It has no body: each request is given something else to sign, which ends by itself."""

SAID: dict[str, Any] = BODIES | {
    "POST /api/days/{date}/marks": {"steps": ["bed-made"], "mark": "kept"},
    "PUT /api/days/{date}/marks/{step}": {"mark": "kept"},
    "PUT /api/sheet/choices": {"paper": "letter"},
    "POST /api/sheet/{week}/marks": {"marks": {SATURDAY: {"bed-made": "kept"}}},
    "POST /api/pause": {"from": TO_COME},
    "POST /api/resume": {"from": "2027-02-20"},
    "POST /api/steps": {"title": "Sweep the steps"},
    "POST /api/favourites": {"dish": "Stew"},
    "POST /api/handover/pages": HANDED,
    "POST /api/dues": {"name": "Fee", "on": "2027-02-09"},
    "POST /api/to-dos": {"titles": ["Post the letter"]},
    "POST /api/shopping/lines": {"lines": ["salt"]},
    "POST /api/quick": {"kind": "to-do", "title": "Oil the lock"},
    "POST /api/areas": {"name": "Shed", "rooms": ["Kitchen"]},
    "POST /api/areas/{area}/tasks": {"title": "Wipe the sill", "minutes": 5},
    "PUT /api/jobs/{step}/ticks/{line}": {"state": "done"},
    "PUT /api/dinners/{date}/frozen/{number}": {"left": True},
    "PUT /api/favourites/{favourite}": {"dish": "Thick"},
    "PUT /api/shopping": {"key": "bulbs", "tick": "at-home"},
    "POST /api/balance": {"moves": {"out-and-back": "2027-01-31"}, "week": "2027-W04"},
    "POST /api/jobs/{step}/move": {"on": SATURDAY, "to": "2027-01-31"},
    "POST /api/start": {"first": "bed-made"},
    "POST /api/areas/set-up": {"rooms": ["Kitchen"]},
    "POST /api/areas/{area}/merge": {"other": "kitchen"},
    "POST /api/areas/{area}/split": {"name": "Half", "rooms": [], "tasks": ["{task}"]},
}
BEFORE: dict[str, list[tuple[str, str, Any]]] = {
    "POST /api/rotation/give": [("PATCH", "/api/areas", {"mode": "need"})],
    "POST /api/week/undo": [("POST", "/api/jobs/out-and-back/move", {"on": SATURDAY, "to": "2027-01-31"})],
    "POST /api/tasks/{task}/add": [("POST", "/api/tasks/{task}/set-aside", None)],
    "POST /api/steps/{step}/restore": [("POST", "/api/steps/bed-made/set-aside", None)],
}
"""What has to have been asked for before."""
FRESH = {"POST /api/start", "POST /api/areas/set-up", "POST /api/steps/{step}/next"}
"""What only a household without any days or areas asks for."""

OTHERWISE: dict[str, Any] = {
    "POST /api/days/{date}/marks": {"steps": ["bed-made"], "mark": "missed"},
    "PUT /api/days/{date}/marks/{step}": {"mark": "missed"},
    "PATCH /api/areas": {"minutes_a_week": 46},
    "POST /api/dues": {"name": "Fee", "on": "2027-02-10"},
}
"""Another body; where none is named here it is the same under another address."""


@dataclass(frozen=True)
class Asked:
    """A request that writes: its name among the operations, its parts, and whether its id is in the query."""

    name: str
    method: str
    address: str
    body: Any
    in_query: bool

    def send(self, house: House, request_id: str, more: str = "") -> Response:
        """Send it under an id."""
        query = "&".join(part for part in (more, f"request_id={request_id}" if self.in_query else "") if part)
        address = self.address + ("&" if "?" in self.address else "?") + query
        if isinstance(self.body, str):
            return house.http.request(
                self.method, address, content=self.body, headers={"content-type": "text/csv"}
            )
        body = None if self.in_query else (self.body or {}) | {"request_id": request_id}
        return house.http.request(self.method, address, json=body)

    def otherwise(self) -> Asked:
        """The same with another body."""
        return replace(self, body=OTHERWISE[self.name])


class Falling(MemoryStore):
    """A store that can fail as it commits.

    Attributes:
        falls: Whether it does.
    """

    falls = False

    @contextmanager
    def writing(self, household_id: str) -> Iterator[MemoryWriting]:
        """A transaction that writes."""
        with super().writing(household_id) as writing:
            yield writing
            if self.falls:
                raise StoreError("Killed.")

    def held(self) -> tuple[Any, Any]:
        """All that is kept."""
        return dict(self._homes), self.kept

    def put_back(self, held: tuple[Any, Any]) -> None:
        """Let everything be as it was."""
        self._homes, self.kept = dict(held[0]), held[1]


def store_of(home: House) -> Falling:
    """Its store."""
    store = home.app.state.context.store
    assert isinstance(store, Falling)
    return store


def _rows(home: House) -> tuple[int, int]:
    """How many rows there are, of the log and of the plan."""
    kept = store_of(home).held()[0]["home"]
    return len(kept.rows), len(kept.plan)


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    """A house in memory, which can be put back after each request."""
    house = House(tmp_path_factory.mktemp("once"))
    house.app.state.context.store.close()
    store = Falling()
    with store.people_writing() as writing:
        for name in ("ana", "ben"):
            writing.add_person(name, name.capitalize(), house.now)
            writing.put_member("home", name, KEEPER, house.now)
    house.app.state.context = replace(house.app.state.context, store=store, copies=None, by="ana")
    yield house
    house.http.close()


@pytest.fixture(scope="module")
def requests(home: House) -> list[Asked]:
    """Each operation that writes as a request that succeeds, in a house with something at every address."""
    grown(home)
    ask(home, "POST", "/api/areas/set-up", {"rooms": ROOMS})
    ask(home, "POST", "/api/areas", {"name": "Hall", "rooms": ["Hall"]})
    ask(home, "POST", "/api/favourites", {"dish": "Pancakes"})
    ask(home, "POST", "/api/dues", {"name": "Rent", "on": "2027-02-05"})
    ask(home, "POST", "/api/to-dos", {"titles": ["Mend the gate"], "kind": "put-off"})
    ask(home, "PUT", f"/api/dinners/{PLANNED}", DISH)
    ask(home, "POST", "/api/pause", {"from": "2027-02-20", "until": "2027-02-22"})
    shopping = ask(home, "POST", "/api/shopping/lines", {"lines": ["bulbs"]})
    area = ask(home, "GET", "/api/areas")["areas"][0]
    parts = {
        "favourite": "pancakes",
        "due": ask(home, "GET", "/api/dues")["dues"][0]["id"],
        "line": shopping["to_buy"][0]["written"][0]["id"],
        "todo": ask(home, "GET", "/api/to-dos")["put_off"][0]["id"],
        "area": area["area"],
        "task": area["detail"][0]["task"],
        "number": "1",
        "week": "2027-W04",
        "page": ask(home, "POST", "/api/handover/pages", HANDED)["page"],
    }
    paths = home.http.get("/openapi.json").json()["paths"]
    return [
        _asked(f"{method.upper()} {path}", operation, parts)
        for path, operations in paths.items()
        for method, operation in operations.items()
        if method not in {"get", "head"}
        and f"{method.upper()} {path}" not in {*SECRET, *PEOPLE, NOTHING}
        and not path.startswith(OF_MANY)
    ]


def _asked(name: str, operation: dict[str, Any], parts: dict[str, str]) -> Asked:
    date = PLANNED if "dinners" in name else "2027-02-05" if "seen-to" in name else SATURDAY
    step = "out-and-back" if "jobs" in name else "table-cleared" if name.endswith("/next") else "bed-made"
    line = "1" if "jobs" in name else parts["line"]
    method, address = name.format(**parts | {"date": date, "step": step, "line": line}).split(" ")
    address += "?room=Bath" if name == "DELETE /api/areas/{area}/rooms" else ""
    said = json.loads(json.dumps(SAID.get(name)).replace("{task}", parts["task"]))
    body = log() if name == "POST /api/log.csv" else said
    in_query = any(one["name"] == "request_id" for one in operation.get("parameters", ()))
    return Asked(name, method, address, body, in_query)


def _ready(home: House, one: Asked, held: tuple[Any, Any]) -> None:
    """Let the house be one in which the request can succeed."""
    home.app.state.context.store.put_back(({}, held[1]) if one.name in FRESH else held)
    if one.name in FRESH - {"POST /api/start"}:
        home.start()
    for what in BEFORE.get(one.name, ()):
        ask(home, what[0], what[1].format(task="t1"), what[2])


def test_every_operation_that_writes_takes_an_id(home: House) -> None:
    described = home.http.get("/openapi.json").json()
    named = {
        name
        for name, one in described["components"]["schemas"].items()
        if "request_id" in one.get("properties", {})
    }
    for path, operations in described["paths"].items():
        for method, operation in operations.items():
            if method not in {"get", "head"}:
                said = json.dumps([operation.get("parameters"), operation.get("requestBody")])
                takes = '"request_id"' in said or any(f'/{name}"' in said for name in named)
                assert takes or path == EACH, path


def test_every_request_sent_again_is_answered_the_same_and_changes_nothing(
    home: House, requests: list[Asked]
) -> None:
    store = store_of(home)
    found = store.held()
    for one in requests:
        _ready(home, one, found)
        first = one.send(home, "one")
        held = store.held()
        again = one.send(home, "one")
        assert first.status_code in {200, 201}, (one.name, first.text)
        assert (again.status_code, again.content) == (first.status_code, first.content), one.name
        assert again.headers["content-type"] == first.headers["content-type"]
        assert store.held() == held, one.name
        other = (
            one.otherwise().send(home, "one") if one.name in OTHERWISE else one.send(home, "one", "other=1")
        )
        assert (other.status_code, other.json()["type"]) == (422, "/problems/asked-otherwise"), one.name
        assert store.held() == held, one.name
    store.put_back(found)


def test_what_is_killed_as_it_commits_leaves_neither_rows_nor_an_answer(
    home: House, requests: list[Asked], monkeypatch: pytest.MonkeyPatch
) -> None:
    store = store_of(home)
    found = store.held()
    for one in requests:
        _ready(home, one, found)
        held = store.held()
        monkeypatch.setattr(store, "falls", True)
        assert one.send(home, "one").status_code == 503, one.name
        monkeypatch.undo()
        assert store.held() == held, one.name
        assert one.send(home, "one").status_code in {200, 201}, one.name
    store.put_back(found)


def test_after_fourteen_days_nothing_is_written_twice_either(
    home: House, requests: list[Asked], monkeypatch: pytest.MonkeyPatch
) -> None:
    store = store_of(home)
    found = store.held()
    for one in requests:
        _ready(home, one, found)
        one.send(home, "one")
        rows = _rows(home)
        # So the answer is old, and the household is on the same day.
        monkeypatch.setattr(once, "ANSWERS_DAYS", -1)
        again = one.send(home, "one")
        monkeypatch.undo()
        assert again.status_code < 500, (one.name, again.text)
        assert _rows(home) == rows or one.name == "POST /api/log.csv", one.name
    store.put_back(found)


def test_after_fourteen_days_a_mark_is_answered_with_what_stands(house: House) -> None:
    sent = {"mark": "kept", "request_id": "tap"}
    address = f"/api/days/{house.today}/marks/bed-made"
    first = house.http.put(address, json=sent)
    house.mark("bed-made", "missed")
    house.now += timedelta(days=14)
    assert house.http.put(address, json=sent).content == first.content
    house.now += timedelta(seconds=1)
    assert house.http.put(address, json=sent).status_code == 409


def test_eight_at_once_add_one_thing_and_are_answered_alike(house: House) -> None:
    body = {"titles": ["Mend the gate"], "request_id": "one"}
    with ThreadPoolExecutor(8) as threads:
        answers = list(threads.map(lambda _: house.http.post("/api/to-dos", json=body), range(8)))
    assert {answer.status_code for answer in answers} == {201}
    assert len({answer.content for answer in answers}) == 1
    assert len(house.http.get("/api/to-dos").json()["open"]) == 1


def test_a_refused_request_is_not_remembered(house: House) -> None:
    refused = house.http.put(f"/api/days/{house.today}/marks/none", json={"mark": "kept", "request_id": "a"})
    assert refused.status_code == 404
    taken = house.http.put(
        f"/api/days/{house.today}/marks/bed-made", json={"mark": "kept", "request_id": "a"}
    )
    assert taken.status_code == 200


def test_what_a_condition_refused_is_asked_anew_and_what_it_allowed_is_answered_again(house: House) -> None:
    body = {"pace": "gentle", "request_id": "a"}
    tag = house.http.get("/api/pace").headers["etag"]
    assert house.http.put("/api/pace", json=body, headers={"if-match": '"other"'}).status_code == 412
    first = house.http.put("/api/pace", json=body, headers={"if-match": tag})
    again = house.http.put("/api/pace", json=body, headers={"if-match": tag})
    assert (first.status_code, again.status_code, again.content) == (200, 200, first.content)


@pytest.mark.parametrize("request_id", ["", "x" * 101, "two\nlines", 7])
def test_an_id_is_one_line_of_at_most_a_hundred_characters(house: House, request_id: object) -> None:
    answer = house.http.put("/api/pace", json={"pace": "gentle", "request_id": request_id})
    assert answer.status_code == 422
    assert answer.json()["errors"][0]["where"] == "body/request_id"


def test_the_order_of_keys_and_parameters_is_no_other_request(house: House) -> None:
    sent = {"mark": "kept", "steps": ["bed-made"], "request_id": "a"}
    address = f"/api/days/{house.today}/marks"
    first = house.http.post(f"{address}?a=1&b=2", json=sent)
    again = house.http.post(f"{address}?b=2&a=1", json=dict(reversed(sent.items())))
    assert (again.status_code, again.content) == (200, first.content)


def test_an_id_is_the_households_whichever_of_its_members_sends_it(tmp_path: Path) -> None:
    house = HomeHouse(tmp_path)
    house.start()
    ana, ben = house.paired("Ana", 7), house.paired("Ben", 8, "tablet")
    body = {"mark": "kept", "request_id": "tap"}
    address = f"/api/days/{house.today}/marks/bed-made"
    first = ana.put(address, json=body)
    assert ben.put(address, json=body).content == first.content
    assert ben.put(address, json=body | {"mark": "missed"}).status_code == 422
    assert house.day()["checklist"][0]["mark"] == "kept"
    device = next(one["id"] for one in ben.get("/api/devices").json()["devices"] if one["name"] == "tablet")
    gone = house.http.delete(f"/api/devices/{device}?request_id=end")
    again = house.http.delete(f"/api/devices/{device}?request_id=end")
    assert (gone.status_code, again.status_code, again.content) == (200, 200, gone.content)
    assert house.http.delete(f"/api/devices/{device}?request_id=more").status_code == 404
    house.close()
