"""Refusals and failures are logged with kind, method and route, and never with anything that was sent."""

from __future__ import annotations

import json
import logging
from collections import defaultdict
from functools import partial
from typing import TYPE_CHECKING, Any

import pytest
from fastapi.routing import iter_route_contexts
from sqlalchemy import event, text

from web.asking import client_of
from web.house import ADDRESS, House

if TYPE_CHECKING:
    from collections.abc import Iterator

    from starlette.testclient import TestClient

MARKER = "PlumJam"
WORD = f"{MARKER}\n2027"
CROSS = {"sec-fetch-site": "cross-site"}


@pytest.fixture
def http(house: House) -> TestClient:
    """A client that is answered as on a real port, where a failure is an answer too."""
    return client_of(house.app, base_url=ADDRESS, raise_server_exceptions=False)


@pytest.fixture
def log(caplog: pytest.LogCaptureFixture) -> pytest.LogCaptureFixture:
    caplog.set_level(logging.DEBUG, logger="coach")
    return caplog


def lines(log: pytest.LogCaptureFixture) -> list[tuple[int, str]]:
    return [(one.levelno, one.getMessage()) for one in log.records if one.name == "coach.events"]


def test_a_refusal_is_one_line_with_kind_method_and_route(
    house: House, http: TestClient, log: pytest.LogCaptureFixture
) -> None:
    http.post(f"/days/{house.today}/marks/bed-made", data={"mark": "kept"}, headers=CROSS)
    http.put("/api/days/2027-01-04/marks/bed-made", json={}, headers=CROSS)
    http.get("/today", headers={"host": f"{MARKER}.example"})
    http.get(f"/{MARKER}", headers={"host": MARKER})
    http.request(MARKER, "/today", headers=CROSS)
    http.post("/api/steps", json={"title": MARKER * 20_000})
    http.get("/static/ground.css", headers={"host": MARKER})
    assert lines(log) == [
        (logging.WARNING, "cross-site, POST /days/{date}/marks/{step}"),
        (logging.WARNING, "cross-site, PUT /api/days/{date}/marks/{step}"),
        (logging.WARNING, "host, GET /today"),
        (logging.WARNING, "host, GET no route"),
        (logging.WARNING, "cross-site, another method /today"),
        (logging.WARNING, "too-large, POST /api/steps"),
        (logging.WARNING, "host, GET /static/{path}"),
    ]


def test_what_is_every_days_business_is_not_logged(http: TestClient, log: pytest.LogCaptureFixture) -> None:
    http.get("/moon")
    http.get("/api/days/2001-01-01")
    http.post("/api/steps", json={})
    http.post("/api/today")
    http.post("/api/log.csv", content="x", headers={"content-type": "text/csv"})
    assert lines(log) == []


class _Broken:
    """A store that fails as a driver does, with what a person wrote in what it says."""

    def __init__(self, house: House) -> None:
        self._engine = house.app.state.context.store.engine

    def __getattr__(self, _: str) -> Any:  # noqa: ANN401  any method of a store
        return self._fail

    def _fail(self, *_: object, **__: object) -> None:
        try:
            with self._engine.connect() as connection:
                connection.execute(text("INSERT INTO nowhere VALUES (:words)"), {"words": MARKER})
        except Exception as error:
            raise ValueError(f"{MARKER} cannot be kept") from error


def test_a_failure_tells_where_it_was_raised_and_nothing_of_what_it_says(
    house: House, http: TestClient, log: pytest.LogCaptureFixture
) -> None:
    context = house.app.state.context
    house.app.state.context = type(context)(_Broken(house), context.library, context.clock)
    assert http.post("/api/dues", json={"name": MARKER, "on": "2027-02-01"}).status_code == 500
    house.app.state.context = context
    ((level, line),) = lines(log)
    assert level == logging.ERROR
    assert line.startswith("failure, POST /api/dues: ValueError at coach/")
    assert "coach/web/api/desk/dues.py:" in line
    assert "after OperationalError at" in line
    assert MARKER not in line


def test_a_database_that_cannot_be_used_is_told_with_the_drivers_name_for_it(
    house: House, http: TestClient, log: pytest.LogCaptureFixture
) -> None:
    engine = house.app.state.context.store.engine
    event.listen(engine, "connect", lambda connection, _: connection.execute("PRAGMA query_only = ON"))
    engine.dispose()
    assert http.post("/api/to-dos", json={"titles": [MARKER]}).status_code == 503
    ((level, line),) = lines(log)
    assert level == logging.ERROR
    assert line.startswith("store, POST /api/to-dos: StoreError at coach/")
    assert "OperationalError SQLITE_READONLY" in line
    assert MARKER not in line


def _bodies(house: House) -> Iterator[tuple[str, str, Any]]:
    """Every endpoint and form with the marker in every place that takes a text."""
    described = house.http.get("/openapi.json").json()
    for path, methods in described["paths"].items():
        for method, endpoint in methods.items():
            content = endpoint.get("requestBody", {}).get("content", {})
            schema = content.get("application/json", {}).get("schema")
            yield method.upper(), path, None if schema is None else _marked(schema, described)
    for route in iter_route_contexts(house.app.routes):
        if "POST" in (route.methods or ()) and not (route.path or "").startswith("/api"):
            fields = getattr(route, "dependant", None)
            names = _field_names(fields) if fields else []
            yield "FORM", str(route.path), dict.fromkeys([*names, "title", "2027-01-04-dish"], MARKER)


def _field_names(dependant: Any) -> list[str]:  # noqa: ANN401  the framework's own value
    found = []
    for field in dependant.body_params:
        model = field.field_info.annotation
        found += list(getattr(model, "model_fields", {field.alias: None}))
    return found


def _marked(schema: dict[str, Any], described: dict[str, Any]) -> Any:  # noqa: ANN401  JSON of any type
    if "$ref" in schema:
        return _marked(described["components"]["schemas"][schema["$ref"].rpartition("/")[2]], described)
    for way in ("anyOf", "oneOf", "allOf"):
        if way in schema:
            return _marked(schema[way][0], described)
    if schema.get("type") == "object":
        named = {key: _marked(value, described) for key, value in schema.get("properties", {}).items()}
        return named | {MARKER: MARKER}
    if schema.get("type") == "array":
        return [_marked(schema["items"], described)]
    return WORD


HEADERS = dict.fromkeys(("cookie", "referer", "user-agent", "accept", "x-a"), f"a={MARKER}")


def _ask_everything(house: House, http: TestClient) -> None:
    query = dict.fromkeys((MARKER, "on", "line", "week", "said", "preview"), MARKER)
    for method, path, body in _bodies(house):
        asking = partial(http.request, "POST" if method == "FORM" else method, params=query)
        wrong = path.replace("{", MARKER).replace("}", "")
        right = path.format_map(defaultdict(lambda: "bed-made", date=house.today, week="2027-W01"))
        if method == "FORM":
            asking(right, data=body, headers=HEADERS)
            asking(wrong, data=body, files={"file": (MARKER, MARKER.encode())}, headers=HEADERS)
            asking(wrong, headers=HEADERS | CROSS)
            asking(wrong, content=MARKER, headers=HEADERS | {"content-type": f"multipart/{MARKER}"})
        else:
            asking(right, json=body, headers=HEADERS)
            sent = json.dumps(body).encode() + MARKER.encode() + b"\xff"
            asking(wrong, content=sent, headers=HEADERS | {"content-type": "application/json"})
            asking(wrong, content=sent, headers=HEADERS | {"content-type": MARKER})
        http.get(wrong, headers=HEADERS | {"host": MARKER, "origin": MARKER})


@pytest.mark.parametrize("broken", [False, True])
def test_nothing_that_is_sent_is_ever_logged(
    house: House, http: TestClient, log: pytest.LogCaptureFixture, *, broken: bool
) -> None:
    context = house.app.state.context
    if broken:
        house.app.state.context = type(context)(_Broken(house), context.library, context.clock)
    _ask_everything(house, http)
    house.app.state.context = context
    told = {line.partition(",")[0] for _, line in lines(log)}
    assert {"host", "cross-site"} <= told
    assert ("failure" in told) == broken
    ours = [one for one in log.records if one.levelno >= logging.WARNING or one.name.startswith("coach")]
    assert not [one for one in ours if MARKER.lower() in (one.getMessage() + str(one.exc_text)).lower()]
