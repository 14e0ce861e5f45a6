"""OWASP ASVS 5.0.0 V8 and V14, whose data is whose; docs/security.md says which each test shows."""

from __future__ import annotations

import re
from collections import defaultdict
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

import pytest
from fastapi.routing import iter_route_contexts

from coach.ground.people import KEEPER
from coach.household.devices import new_secret, new_session
from coach.web.access import KEEPERS, KEEPERS_ENDS, KEEPERS_PAGES, is_open
from web.attacked import Attacked, cookie, is_unpaired, token_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from starlette.testclient import TestClient

OTHER = "tern-street"
SOME = defaultdict(lambda: "20270104-0001", step="bed-made", name="store", week="2027-W01", path="ground.css")


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Attacked]:
    """A house for all of these tests; another household lives in the same database."""
    house = Attacked(tmp_path_factory.mktemp("accessed"))
    yield house
    house.close()


def _routes(home: Attacked) -> Iterator[tuple[str, str]]:
    """Every method at every address."""
    for route in iter_route_contexts(home.app.routes):
        path = (route.path or "").format_map(SOME | {"date": str(home.today)})
        for method in sorted((route.methods or {"GET"}) - {"HEAD"}):
            yield method, path


def test_whoever_was_not_let_in_reaches_what_pairs_and_nothing_else(home: Attacked) -> None:
    asked = [(method, path) for method, path in _routes(home) if not is_open(path)]
    assert len(asked) > 150
    phone = home.bare()
    assert not [one for one in asked if not is_unpaired(phone.request(*one))]


def test_a_token_that_was_ended_reaches_nothing_either(home: Attacked) -> None:
    phone = home.bare()
    headers = {"authorization": f"Bearer {'x' * 43}"}
    for method, path in _routes(home):
        if method == "GET" and not is_open(path):
            assert is_unpaired(phone.get(path, headers=headers)), path


def _is_keepers(method: str, path: str, routes: set[tuple[str, str]]) -> bool:
    below = any(path == page or path.startswith(f"{page}/") for page in KEEPERS_PAGES)
    of_people = path.startswith("/people/") and path.endswith(KEEPERS_ENDS)
    return (method, path) in routes or below or of_people


def test_what_is_a_keepers_is_refused_to_a_member(home: Attacked) -> None:
    asked = [one for one in _routes(home) if _is_keepers(*one, set(KEEPERS))]
    assert len(asked) > 10
    for method, path in asked:
        answer = home.ben.request(method, path)
        assert answer.status_code == 403, (method, path)
        assert "bed-made" not in answer.text


def test_a_token_for_reading_changes_nothing(home: Attacked) -> None:
    headers = {"authorization": f"Bearer {token_of(home, home.ana, 'read')}"}
    phone, version = home.bare(), home.app.state.context.store.version("home")
    assert phone.get("/api/today", headers=headers).status_code == 200
    for method, path in _routes(home):
        if method != "GET" and not is_open(path):
            answer = phone.request(method, path, headers=headers, json={"mark": "kept"})
            assert answer.status_code == 403, (method, path)
    assert home.app.state.context.store.version("home") == version


@pytest.fixture(scope="module")
def neighbour(home: Attacked) -> TestClient:
    """The phone of somebody who keeps another household in the same database."""
    store, (secret, kept) = home.app.state.context.store, new_secret()
    with store.people_writing() as writing:
        writing.add_person("cleo", "Cleo", home.now)
        writing.put_member(OTHER, "cleo", KEEPER, home.now)
        writing.add_session(kept, new_session(OTHER, "cleo", "phone", home.now))
    phone = home.bare(77)
    phone.headers.update(cookie(secret))
    return phone


def test_another_households_keeper_sees_nothing_of_ours_and_changes_nothing(
    home: Attacked, neighbour: TestClient
) -> None:
    home.ana.post("/api/to-dos", json={"titles": ["Oil the gate hinge"]})
    mark = f"/api/days/{home.today}/marks/bed-made"
    home.ana.put(mark, json={"mark": "kept"})
    before = home.app.state.context.store.version("home")
    assert neighbour.post("/api/start", json={"first": "bed-made", "zone": "UTC"}).status_code == 201
    for method, path in _routes(home):
        if method == "GET" and "/data/backup" not in path and not path.startswith("/rescue"):
            answer = neighbour.get(path)
            assert "Oil the gate hinge" not in answer.text, path
            assert not re.search(r"\bAna\b", answer.text), path
    assert neighbour.get("/api/today").json()["checklist"][0]["mark"] is None
    neighbour.put(mark, json={"mark": "small"})
    neighbour.delete(mark)
    assert home.app.state.context.store.version("home") == before
    assert home.ana.get("/api/today").json()["checklist"][0]["mark"] == "kept"


@pytest.mark.parametrize("field", ["by", "person", "household", "role", "tapped_by"])
def test_nobody_says_in_a_request_who_somebody_else_is(home: Attacked, field: str) -> None:
    mark = f"/api/days/{home.today}/marks/bed-made"
    answer = home.ben.put(mark, json={"mark": "kept", field: "ana"})
    assert (answer.status_code, answer.json()["type"]) == (422, "/problems/malformed")
    paired = home.bare().post("/api/pair", json={"code": home.code(), "name": "Ben", field: "keeper"})
    assert paired.status_code == 422


def test_the_code_stands_in_the_part_of_the_link_that_is_not_sent(home: Attacked) -> None:
    answer = home.ana.post("/api/pairing").json()
    link = urlsplit(answer["link"])
    assert link.fragment == answer["code"]
    assert answer["code"] not in link.path + link.query


def test_what_a_person_wrote_is_kept_by_no_browser_and_no_proxy(home: Attacked) -> None:
    for method, path in _routes(home):
        if method == "GET" and not path.startswith(("/static", "/sw.js", "/manifest", "/trust", "/problems")):
            answer = home.ana.get(path)
            assert answer.headers["cache-control"] == "no-store", path
