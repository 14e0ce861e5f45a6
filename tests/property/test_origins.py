"""The guard reads whatever stands in Host, Origin and Sec-Fetch-Site, and never fails on it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from starlette.datastructures import Headers

from coach.web.hosts import Hosts, host_name
from coach.web.security import Guard, is_cross_site, origin_of

if TYPE_CHECKING:
    from starlette.types import Message, Receive, Scope, Send

OURS = "127.0.0.1:8420"
PARTS = [
    "http",
    "https",
    ":",
    "//",
    "://",
    "[",
    "]",
    "::1",
    "%25eth0",
    "%",
    "@",
    "127.0.0.1",
    ".",
    "/",
    "?",
    "#",
]
PARTS += [
    "8420",
    "99999",
    "-1",
    "localhost",
    "LOCALHOST",
    "null",
    " ",
    ",",
    "\t",
    "\xff",
    "\xb2",
    "xn--",
    "\\",
    "a" * 99,
]
HEADER = st.lists(st.sampled_from(PARTS), max_size=8).map("".join) | st.text(st.characters(max_codepoint=255))
HARD = [
    "http://[",
    "http://[x]",
    "http://a:99999",
    "http://a:\xb2",
    "http://[fe80::1%eth0]:8420",
    "http://]",
    "//[",
]
SAFE = ("GET", "HEAD", "OPTIONS")


@given(HEADER)
@example("x" * 60_000)
@example("http://" + "[" * 10_000)
@example("http://127.0.0.1:" + "9" * 10_000)
def test_no_origin_fails(text: str) -> None:
    read = origin_of(text)
    assert read is None or read[1]


@given(HEADER, HEADER, st.sampled_from(["http", "https"]))
def test_what_is_not_our_own_origin_is_another_site(origin: str, host: str, scheme: str) -> None:
    headers = Headers(raw=[(b"origin", origin.encode("latin-1"))])
    host_name(host)
    if not is_cross_site(headers, scheme, host):
        assert origin.strip().lower().startswith(f"{scheme}:")


async def _reached(scope: Scope, receive: Receive, send: Send) -> None:  # noqa: ARG001  as ASGI has it
    await send({"type": "http.response.start", "status": 299, "headers": []})
    await send({"type": "http.response.body", "body": b""})


def asked(method: str, headers: list[tuple[bytes, bytes]]) -> int:
    """The status that the guard, or what it guards, answers with."""
    statuses: list[int] = []

    async def send(message: Message) -> None:
        if message["type"] == "http.response.start":
            statuses.append(message["status"])

    async def receive() -> Message:
        return {"type": "http.request", "body": b"", "more_body": False}

    scope: dict[str, Any] = {"type": "http", "method": method, "path": "/api/today", "headers": headers}
    running = Guard(_reached, Hosts(frozenset({"127.0.0.1", "localhost"})))(
        scope | {"query_string": b""}, receive, send
    )
    with pytest.raises(StopIteration):
        running.send(None)
    return statuses[0]


@given(
    st.sampled_from(["GET", "POST", "DELETE"]),
    st.lists(st.tuples(st.sampled_from([b"host", b"origin", b"sec-fetch-site"]), HEADER), max_size=4),
)
@example("POST", [(b"host", OURS), *((b"origin", one) for one in HARD)])
@example("POST", [(b"host", "")])
def test_no_header_fails(method: str, headers: list[tuple[bytes, str]]) -> None:
    raw = [(name, value.encode("latin-1")) for name, value in headers]
    assert asked(method, raw) in {299, 400, 403}


@pytest.mark.parametrize("origin", HARD)
def test_an_origin_that_cannot_be_read_is_refused(origin: str) -> None:
    raw = [(b"host", OURS.encode()), (b"origin", origin.encode("latin-1"))]
    assert asked("POST", raw) == 403
    assert asked("GET", raw) == 299


def test_the_guard_is_asked_rightly_here() -> None:
    assert asked("POST", [(b"host", OURS.encode())]) == 299
    assert asked("POST", [(b"host", OURS.encode()), (b"origin", f"http://{OURS}".encode())]) == 299
    assert asked("POST", [(b"host", OURS.encode()), (b"origin", f"https://{OURS}".encode())]) == 403
