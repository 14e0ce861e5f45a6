"""`Allow` names the methods that an address answers, all of them and no others, at every address there is."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

import pytest
from fastapi.routing import iter_route_contexts

from web.house import House

if TYPE_CHECKING:
    from collections.abc import Iterator

METHODS = ("GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS", "TRACE", "PROPFIND")
VALUES = defaultdict(lambda: "2027-01-04", week="2027-W01", name="store", path="ground.css")
FIXED = ["/static/ground.css", "/static/nothing.css", "/openapi.json", "/healthz"]


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    house = House(tmp_path_factory.mktemp("methods"))
    house.start()
    yield house
    house.close()


def _addresses(house: House) -> list[str]:
    """One address of every route, those with something in their middle included."""
    contexts = [one for one in iter_route_contexts(house.app.routes) if one.methods]
    paths = {(one.path or "").replace("{", "{0[").replace("}", "]}").format(VALUES) for one in contexts}
    return sorted(paths | set(FIXED))


def test_allow_is_exactly_what_is_answered_at_every_address(house: House) -> None:
    addresses = _addresses(house)
    assert len(addresses) > 100
    for path in addresses:
        answers = {method: house.http.request(method, path) for method in METHODS}
        answered = {method for method, answer in answers.items() if answer.status_code != 405}
        for method, answer in answers.items():
            if answer.status_code == 405:
                assert answer.headers["allow"] == ", ".join(sorted(answered)), (method, path)


def test_where_there_is_nothing_no_method_is_named(house: House) -> None:
    answer = house.http.post("/api/moon")
    assert answer.status_code == 404
    assert "allow" not in answer.headers
