"""Whose address is believed behind a reverse proxy."""

from __future__ import annotations

from ipaddress import ip_network
from typing import TYPE_CHECKING, Any

import pytest
from starlette.responses import PlainTextResponse
from starlette.testclient import TestClient

from coach.web.proxies import Proxied

if TYPE_CHECKING:
    from starlette.types import Receive, Scope, Send

PROXY, STRANGER = "127.0.0.1", "203.0.113.9"


async def _told(scope: Scope, receive: Receive, send: Send) -> None:
    answer = PlainTextResponse(f"{scope['scheme']} {scope['client'][0]}")
    await answer(scope, receive, send)


def asked(peer: str, *headers: tuple[str, str]) -> str:
    app: Any = Proxied(_told, scheme="https", proxies=(ip_network("127.0.0.0/8"), ip_network("::1")))
    return TestClient(app, client=(peer, 4711)).get("/", headers=list(headers)).text.removeprefix("https ")


@pytest.mark.parametrize(
    ("headers", "client"),
    [
        ([], PROXY),
        ([("X-Forwarded-For", "198.51.100.7")], "198.51.100.7"),
        ([("X-Forwarded-For", "10.9.9.9, 198.51.100.7")], "198.51.100.7"),
        ([("X-Forwarded-For", "10.9.9.9"), ("X-Forwarded-For", "198.51.100.7")], "198.51.100.7"),
        ([("X-Forwarded-For", "198.51.100.7:5012")], "198.51.100.7"),
        ([("X-Forwarded-For", "2001:db8::7")], "2001:db8::7"),
        ([("X-Forwarded-For", "[2001:db8::7]:5012")], "2001:db8::7"),
        ([("X-Forwarded-For", "::ffff:198.51.100.7")], "198.51.100.7"),
        ([("X-Forwarded-For", "unknown")], PROXY),
        ([("X-Forwarded-For", "")], PROXY),
        ([("Forwarded", "for=198.51.100.7;proto=https")], "198.51.100.7"),
        ([("Forwarded", 'for=10.9.9.9, proto=https;For="[2001:db8::7]:5012"')], "2001:db8::7"),
        ([("Forwarded", 'for="10.9.9.9, for=10.8.8.8", for=198.51.100.7')], "198.51.100.7"),
        ([("Forwarded", "for=198.51.100.7, for=_hidden")], PROXY),
        ([("Forwarded", "for=198.51.100.7, proto=https")], PROXY),
    ],
)
def test_of_a_proxy_the_last_entry_is_believed(headers: list[tuple[str, str]], client: str) -> None:
    assert asked(PROXY, *headers) == client
    assert asked("::ffff:127.0.0.1", *headers) == (client if client != PROXY else "::ffff:127.0.0.1")


def test_of_anybody_else_nothing_is_believed() -> None:
    assert asked(STRANGER, ("X-Forwarded-For", "198.51.100.7")) == STRANGER
    assert asked(STRANGER, ("Forwarded", "for=198.51.100.7")) == STRANGER


def test_two_headers_that_differ_are_both_left() -> None:
    both = (("X-Forwarded-For", "198.51.100.7"), ("Forwarded", "for=198.51.100.8"))
    assert asked(PROXY, *both) == PROXY
    same = (("X-Forwarded-For", "2001:DB8::7"), ("Forwarded", 'for="[2001:db8:0::7]"'))
    assert asked(PROXY, *same) == "2001:db8::7"
