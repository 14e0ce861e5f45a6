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
from coach.web.access import is_for_many, is_open
from web.attacked import Attacked, cookie, is_unpaired

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
        path = (route.path or "").replace(":path", "").format_map(SOME | {"date": str(home.today)})
        for method in sorted((route.methods or {"GET"}) - {"HEAD"}):
            yield method, path


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
    """At home there is one household, and what lets somebody into another is worth nothing here."""
    home.ana.post("/api/to-dos", json={"titles": ["Oil the gate hinge"]})
    before = home.app.state.context.store.version("home")
    for method, path in _routes(home):
        answer = neighbour.request(method, path)
        assert is_open(path) or is_unpaired(answer) or (is_for_many(path) and answer.status_code == 404), path
        assert "Oil the gate hinge" not in answer.text, path
        assert not re.search(r"\bAna\b", answer.text), path
    assert home.app.state.context.store.version("home") == before


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
