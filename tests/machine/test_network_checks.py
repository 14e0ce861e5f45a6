from __future__ import annotations

import json
import os
import socket
import threading
from contextlib import contextmanager, nullcontext
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import TYPE_CHECKING, Any

import pytest

from coach.machine import network_checks
from coach.machine.addresses import private_addresses
from coach.machine.holder import holder_of
from coach.machine.network_checks import addresses, is_reached, looked_up, names, port
from coach.machine.tls import HouseholdTls
from machine.places import HOME, NOW, adapter, copied

if TYPE_CHECKING:
    import ssl
    from collections.abc import Iterator
    from pathlib import Path

    from coach.machine.authority import Authority

OK = {"status": "ok", "findings": []}


@contextmanager
def answering(body: object, context: ssl.SSLContext | None = None, status: int = 200) -> Iterator[int]:
    """A service on a free port that says this of itself."""

    class Health(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            self.send_response(status if self.path == "/healthz" else 404)
            self.end_headers()
            self.wfile.write(body if isinstance(body, bytes) else json.dumps(body).encode())

        def log_message(self, *_said: object) -> None:
            """Say nothing."""

    with ThreadingHTTPServer(("127.0.0.1", 0), Health) as server:
        if context is not None:
            server.socket = context.wrap_socket(server.socket, server_side=True)
        thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02})
        thread.start()
        try:
            yield server.server_port
        finally:
            server.shutdown()
            thread.join()


def free_port() -> int:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        return int(taken.getsockname()[1])


def test_a_free_port_is_well_and_stays_free() -> None:
    number = free_port()
    for _ in range(2):
        assert [(one.text, one.mend) for one in port("127.0.0.1", number)] == [
            (f"Port {number} is free.", "")
        ]


def test_a_steading_that_answers_is_well() -> None:
    with answering(OK) as number:
        (told,) = port("127.0.0.1", number)
    assert told.text == f"A Steading answers on port {number}, and all is well with it."
    assert not told.is_wrong


def test_a_steading_that_speaks_tls_is_recognised(home: Authority, tmp_path: Path) -> None:
    tls = HouseholdTls(copied(home, tmp_path), HOME, NOW)
    with answering(OK, tls.context) as number:
        (told,) = port("127.0.0.1", number)
    assert not told.is_wrong


@pytest.mark.parametrize(("status", "said"), [("degraded", 200), ("failing", 503)])
def test_what_a_steading_says_of_itself_is_passed_on(status: str, said: int) -> None:
    body = {"status": status, "findings": [{"about": "zone", "text": "The zone is unknown."}]}
    with answering(body, status=said) as number:
        (told,) = port("127.0.0.1", number)
    assert told.text.endswith("says: The zone is unknown.")
    assert told.mend == "Look at its page /rescue."


@pytest.mark.parametrize("body", [b"<h1>Hello</h1>", {"status": 401}, ["ok"], b"\xff"])
def test_another_program_is_named_with_its_number(body: object) -> None:
    with answering(body) as number:
        (told,) = port("127.0.0.1", number)
    assert told.text.startswith(f"Another program has port {number}")
    assert f"process {os.getpid()})" in told.text
    assert "--port" in told.mend


def test_a_port_whose_holder_the_system_does_not_tell_is_taken_all_the_same(tmp_path: Path) -> None:
    assert holder_of(8420, tmp_path) == ""


def test_an_address_that_this_machine_does_not_have_is_said() -> None:
    (told,) = port("192.168.254.253", 8420)
    assert "cannot be used: " in told.text
    assert told.is_wrong


def test_addresses_of_the_home_are_told_and_those_of_tunnels_are_not_enough() -> None:
    assert "192.168.1.20 (wlan0), [fd12:3456::20] (wlan0)" in next(addresses(HOME)).text
    (tunnel,) = addresses(private_addresses([adapter("wg0", "10.8.0.2")]))
    assert "lead elsewhere: 10.8.0.2 (wg0)" in tunnel.text
    (none,) = addresses(())
    assert none.text == "It has no private address."
    assert none.is_wrong


@pytest.fixture
def network(monkeypatch: pytest.MonkeyPatch) -> dict[str, Any]:
    """What a made-up network says: of the name by multicast, of the name in its list, on the port."""
    said: dict[str, Any] = {"heard": (), "known": set(), "health": None}

    monkeypatch.setattr(network_checks, "speaker", nullcontext)
    monkeypatch.setattr(network_checks, "answers", lambda _voice: said["heard"])
    monkeypatch.setattr(network_checks, "looked_up", lambda _name: said["known"])
    monkeypatch.setattr(network_checks, "health_at", lambda _host, _port: said["health"])
    monkeypatch.setattr(network_checks, "is_reached", lambda _host, _port: said["health"] is not None)
    return said


@pytest.mark.parametrize(
    ("heard", "known", "health", "wrong"),
    [
        ((), set(), None, []),
        (("192.168.1.20",), {"192.168.1.20"}, OK, []),
        (("192.168.1.99",), set(), None, ["steading.local leads to 192.168.1.99, which is another machine."]),
        (
            (),
            set(),
            OK,
            ["Steading answers in the network, and nothing says where steading.local is."],
        ),
        ((), {"192.168.1.20"}, None, []),
        (
            (),
            {"203.0.113.9"},
            None,
            ["steading.home.arpa leads to 203.0.113.9, which is not this machine."],
        ),
    ],
)
def test_names_that_lead_elsewhere_are_found(
    network: dict[str, Any], heard: object, known: object, health: object, wrong: list[str]
) -> None:
    network.update(heard=heard, known=known, health=health)
    assert [one.text for one in names(HOME, 8420) if one.is_wrong] == wrong


def test_a_port_is_reached_where_something_listens() -> None:
    with answering(OK) as number:
        assert is_reached("127.0.0.1", number)
    assert not is_reached("127.0.0.1", number)


def test_without_an_address_there_is_nothing_to_ask(network: dict[str, Any]) -> None:
    network.update(heard=("192.168.1.99",))
    assert list(names((), 8420)) == []


def test_a_name_is_looked_up_as_the_system_does() -> None:
    assert "127.0.0.1" in looked_up("localhost")


def test_a_network_that_does_not_answer_is_not_waited_for(monkeypatch: pytest.MonkeyPatch) -> None:
    ended = threading.Event()
    monkeypatch.setattr(network_checks, "ASK_SECONDS", 0.05)
    monkeypatch.setattr(socket, "getaddrinfo", lambda _name, _port: ended.wait(10) and [])
    assert looked_up("steading.home.arpa") == set()
    ended.set()
