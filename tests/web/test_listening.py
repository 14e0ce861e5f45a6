"""Sockets of a home network: whoever is not at home gets no byte, over TLS neither."""

from __future__ import annotations

import asyncio
import logging
import socket
import threading
import time
from typing import TYPE_CHECKING

import pytest

from coach.errors import NotReady, StoreError
from coach.machine.addresses import is_at_home
from coach.web import connections, listening, server
from web.live import LiveHouse

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

HOME, AWAY = "127.0.0.1", "127.0.0.9"


@pytest.fixture
def beyond(monkeypatch: pytest.MonkeyPatch) -> None:
    """One of this machine's own addresses stands for one beyond the home."""

    def only_some(address: str) -> bool:
        return address != AWAY and is_at_home(address)

    monkeypatch.setattr(listening, "is_at_home", only_some)
    monkeypatch.setattr(connections, "is_at_home", only_some)


def knock(port: int, source: str, to: str = HOME) -> bytes:
    """What somebody hears who asks from an address."""
    with socket.create_connection((to, port), timeout=10, source_address=(source, 0)) as connection:
        try:
            connection.sendall(b"GET /healthz HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\n\r\n")
            return b"".join(iter(lambda: connection.recv(4096), b""))
        except ConnectionError:
            return b""


@pytest.fixture
def accepting(beyond: None) -> Iterator[socket.socket]:  # noqa: ARG001  before it accepts
    [found] = listening.at_home(["0.0.0.0"], 0)  # noqa: S104  what is tested
    with found:
        yield found


def test_whoever_is_beyond_the_home_is_hung_up_on_and_the_next_is_heard(accepting: socket.socket) -> None:
    port = accepting.getsockname()[1]
    away = [threading.Thread(target=knock, args=(port, AWAY)) for _ in range(3)]
    for one in away:
        one.start()
    time.sleep(0.2)
    with socket.create_connection((HOME, port), timeout=10) as friend:
        connection, address = accepting.accept()
        with connection:
            assert address[:2] == friend.getsockname()
    for one in away:
        one.join()


def test_one_of_the_machines_own_addresses_beyond_the_home_is_not_answered_on(
    accepting: socket.socket,
) -> None:
    with socket.create_connection((AWAY, accepting.getsockname()[1]), timeout=10, source_address=(HOME, 0)):
        accepting.settimeout(0.2)
        with pytest.raises(TimeoutError):
            accepting.accept()


def test_many_from_beyond_do_not_keep_the_loop(accepting: socket.socket) -> None:
    port = accepting.getsockname()[1]
    knocking = [
        socket.create_connection((HOME, port), timeout=10, source_address=(AWAY, 0)) for _ in range(9)
    ]
    with pytest.raises(BlockingIOError):
        accepting.accept()
    for one in knocking:
        one.close()


@pytest.mark.usefixtures("beyond")
def test_where_accepting_does_not_look_the_connection_does(tmp_path: Path) -> None:
    live = LiveHouse(tmp_path)
    try:
        assert knock(live.port, AWAY) == b""
        assert knock(live.port, HOME).startswith(b"HTTP/1.1 200 ")
    finally:
        live.close()


def test_one_port_is_taken_on_all_addresses_or_on_none() -> None:
    found = listening.at_home(listening.EVERYWHERE, 0)
    port = found[0].getsockname()[1]
    assert {one.getsockname()[1] for one in found} == {port}
    with pytest.raises(StoreError, match=rf"Port {port} cannot be used: .* with --tls-port"):
        listening.at_home(listening.EVERYWHERE, port, "--tls-port")
    for one in found:
        one.close()
    for one in listening.at_home(listening.EVERYWHERE, port):
        one.close()


def test_a_look_at_the_network_that_fails_is_logged_and_made_again(
    monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    looked = threading.Semaphore(0)

    def look() -> None:
        looked.release()
        raise NotReady("words that stay out of the log")

    monkeypatch.setattr(server, "LOOK_SECONDS", 0.01)

    async def some_looks() -> None:
        task = asyncio.create_task(server._look_again(look))  # noqa: SLF001  what a server does all day
        for _ in range(2):
            await asyncio.to_thread(looked.acquire)
        task.cancel()

    with caplog.at_level(logging.ERROR):
        asyncio.run(some_looks())
    assert "network: NotReady" in caplog.text
    assert "words" not in caplog.records[0].getMessage()
