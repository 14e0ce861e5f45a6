"""At home, whoever asks whatever at random gets an answer that is described, and no fault of ours.

Few examples with a fixed seed in the usual run; more, and for longer, as docs/security.md says.
"""

from __future__ import annotations

import os
import time
from collections import Counter
from http import HTTPStatus
from typing import TYPE_CHECKING, Any

import pytest
import schemathesis
from schemathesis.engine import events, from_schema

from web.at_home import MACHINE, NETWORK
from web.attacked import Attacked, cookie, secret_of, token_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from starlette.types import ASGIApp, Receive, Scope, Send

# What a packed course holds is bytes; it knows how to send every other kind by itself.
schemathesis.serializer.alias("application/zip", "application/octet-stream")

MINUTES = float(os.environ.get("STEADING_FUZZ_MINUTES", "0"))
SEED = int(os.environ.get("STEADING_FUZZ_SEED", "1"))
MOST = 6 if MINUTES else 1
"""Examples an operation; in a long run, in each of its rounds."""

CHECKS = (
    "not_a_server_error",
    "status_code_conformance",
    "content_type_conformance",
    "response_headers_conformance",
    "response_schema_conformance",
)
LOCAL = "http://127.0.0.1:8420"


def _from(app: ASGIApp, address: str) -> ASGIApp:
    """The application as it is asked from an address."""

    async def asked(scope: Scope, receive: Receive, send: Send) -> None:
        await app({**scope, "client": (address, 50000)} if scope["type"] == "http" else scope, receive, send)

    return asked


def _who(home: Attacked, name: str) -> tuple[ASGIApp, dict[str, str]]:
    """The application from where somebody asks, and what they send with every request."""
    if name == "machine":
        return _from(home.app, MACHINE[0]), {"host": LOCAL.removeprefix("http://")}
    headers = {"host": NETWORK.removeprefix("http://"), "origin": NETWORK}
    if name == "member":
        headers |= cookie(secret_of(home.ben))
    elif name == "reading":
        headers |= {"authorization": f"Bearer {token_of(home, home.ana, 'read')}"}
    return _from(home.app, "192.168.50.9"), headers


def _config(seed: int) -> dict[str, Any]:
    on = {"enabled": True}
    # The edges of every schema, and what follows on what, are asked in tests/web/test_contract.py.
    phases = {
        "fuzzing": on,
        "examples": on,
        "stateful": {"enabled": False},
        "coverage": {"enabled": False},
    }
    return {
        "seed": seed,
        "cache": {"enabled": False},
        "phases": phases,
        "checks": {"enabled": False} | dict.fromkeys(CHECKS, on),
        "generation": {"max-examples": MOST, "deterministic": not MINUTES, "database": "none"},
    }


def _failures(scenario: events.ScenarioFinished) -> Iterator[str]:
    recorder = scenario.recorder
    for case, checks in recorder.checks.items():
        for check in checks:
            if check.failure_info is not None:
                asked = recorder.cases[case].value
                said = f"{check.failure_info.failure} {asked.as_curl_command()}"
                yield f"{check.name} {asked.operation.label}: {said}"


def _asked(home: Attacked, who: str, seed: int, ends: float) -> Counter[int]:
    """Ask everything as somebody, in a long run until it ends; how often each status was answered."""
    app, headers = _who(home, who)
    config = schemathesis.Config.from_dict(_config(seed) | {"headers": headers})
    described = home.http.get("/openapi.json").json()
    if who != "nobody":
        # Whoever signs out is nobody from then on.
        del described["paths"]["/api/sign-out"]
    interface = schemathesis.openapi.from_dict(described, config=config)
    interface.app = app
    interface.location = "/openapi.json"
    statuses, failures = Counter[int](), list[str]()
    for event in from_schema(interface).execute():
        assert not isinstance(event, events.NonFatalError | events.FatalError), event
        if isinstance(event, events.ScenarioFinished):
            failures += _failures(event)
            statuses.update(
                it.response.status_code for it in event.recorder.interactions.values() if it.response
            )
        if MINUTES and time.monotonic() >= ends:
            break
    assert not failures, "\n".join(failures)
    return statuses


EXPECTED = {
    "nobody": {401},
    "member": {200, 403, 422},
    "reading": {200, 403},
    "machine": {200, 422},
}


@pytest.mark.filterwarnings("ignore::Warning")
@pytest.mark.parametrize("who", EXPECTED)
def test_whatever_somebody_asks_is_answered_as_described(
    who: str,
    tmp_path_factory: pytest.TempPathFactory,
    record_property: Callable[[str, object], None],
) -> None:
    total, seed = Counter[int](), SEED
    ends = time.monotonic() + MINUTES * 60 / len(EXPECTED)
    while seed == SEED or time.monotonic() < ends:
        home = Attacked(tmp_path_factory.mktemp(who))
        home.http.post("/api/areas/set-up", json={"rooms": ["Kitchen", "Bath", "Bedroom"]})
        total += _asked(home, who, seed, ends)
        home.close()
        seed += 1
    record_property("answers", dict(total))
    assert set(total) >= EXPECTED[who], total
    assert not [status for status in total if status >= HTTPStatus.INTERNAL_SERVER_ERROR]
