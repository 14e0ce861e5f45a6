"""Connections that shake hands, over real sockets: they hand over whole, and are few and short."""

from __future__ import annotations

import asyncio
import socket
import ssl
import threading
import time
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

import pytest

from coach.machine.greeting import Greetings
from coach.machine.tls import HouseholdTls
from machine.places import HOME, NOW, copied

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from coach.machine.authority import Authority

PATIENCE = 10


class Echo(asyncio.Protocol):
    """Says again what it hears, once it was told of a connection with TLS."""

    def connection_made(self, transport: asyncio.BaseTransport) -> None:
        assert isinstance(transport, asyncio.Transport)
        assert transport.get_extra_info("sslcontext") is not None
        self.transport = transport

    def data_received(self, data: bytes) -> None:
        self.transport.write(data)


class Service:
    """A service that says again what it hears, on a free port, in a thread of its own."""

    def __init__(self, tls: HouseholdTls, **bounds: Any) -> None:  # noqa: ANN401  as Greetings takes them
        self.greetings = Greetings(tls.context, **bounds)
        self._trusting = ssl.create_default_context(cadata=tls.authority.pem.decode())
        self.loop = asyncio.new_event_loop()
        make = self.loop.create_server(lambda: self.greetings.before(Echo()), "127.0.0.1", 0)
        self._server = self.loop.run_until_complete(make)
        self._port = self._server.sockets[0].getsockname()[1]
        self._thread = threading.Thread(target=self.loop.run_forever)
        self._thread.start()

    def connect(self) -> socket.socket:
        """A connection that has not said anything."""
        return socket.create_connection(("127.0.0.1", self._port), PATIENCE)

    def wrapped(self) -> ssl.SSLSocket:
        """A connection of somebody who trusts the authority."""
        return self._trusting.wrap_socket(self.connect(), server_hostname="127.0.0.1")

    def in_memory(self, coming: ssl.MemoryBIO, going: ssl.MemoryBIO) -> ssl.SSLObject:
        """The same, whose packets somebody else sends."""
        return self._trusting.wrap_bio(coming, going, server_hostname="127.0.0.1")

    def close(self) -> None:
        self._server.close()
        self.loop.call_soon_threadsafe(self.greetings.end)
        # What was closed is told of its end in the turns that follow.
        for _ in range(5):
            asyncio.run_coroutine_threadsafe(asyncio.sleep(0.01), self.loop).result(PATIENCE)
        self.loop.call_soon_threadsafe(self.loop.stop)
        self._thread.join()
        self.loop.close()


@contextmanager
def serving(tls: HouseholdTls, **bounds: Any) -> Iterator[Service]:  # noqa: ANN401  the same
    service = Service(tls, **bounds)
    try:
        yield service
    finally:
        service.close()


@pytest.fixture
def tls(home: Authority, tmp_path: Path) -> HouseholdTls:
    return HouseholdTls(copied(home, tmp_path), HOME, NOW)


def echoed(client: ssl.SSLSocket, text: bytes) -> bytes:
    """What comes back of a text."""
    client.sendall(text)
    heard = b""
    while len(heard) < len(text):
        heard += client.recv(65536)
    return heard


def is_closed(client: socket.socket) -> bool:
    """Whether the other end has gone, which is waited for."""
    try:
        return client.recv(1) == b""
    except ConnectionError:
        return True


@pytest.mark.parametrize("size", [1, 100_000])
def test_a_connection_is_handed_over_with_all_that_comes(tls: HouseholdTls, size: int) -> None:
    with serving(tls) as service, service.wrapped() as client:
        assert echoed(client, b"?" * size) == b"?" * size
        assert service.greetings.number == 0


def test_what_comes_with_the_last_of_the_handshake_is_not_lost(tls: HouseholdTls) -> None:
    coming, going = ssl.MemoryBIO(), ssl.MemoryBIO()
    with serving(tls) as service, service.connect() as plain:
        client = service.in_memory(coming, going)
        with pytest.raises(ssl.SSLWantReadError):
            client.do_handshake()
        plain.sendall(going.read())
        while True:
            coming.write(plain.recv(65536))
            try:
                client.do_handshake()
                break
            except ssl.SSLWantReadError:
                continue
        client.write(b"early")
        plain.sendall(going.read())
        while True:
            coming.write(plain.recv(65536))
            try:
                assert client.read(5) == b"early"
                break
            except ssl.SSLWantReadError:
                continue


def test_whoever_says_nothing_is_let_go_after_a_while(tls: HouseholdTls) -> None:
    with serving(tls, seconds=0.1) as service, service.connect() as silent:
        began = time.monotonic()
        assert is_closed(silent)
        assert time.monotonic() - began < PATIENCE / 2


def test_whoever_speaks_no_tls_is_let_go(tls: HouseholdTls) -> None:
    with serving(tls) as service, service.connect() as plain:
        plain.sendall(b"GET / HTTP/1.1\r\nHost: steading.local\r\n\r\n")
        assert b"HTTP" not in plain.recv(65536)


def test_whoever_goes_early_is_counted_out(tls: HouseholdTls) -> None:
    with serving(tls) as service:
        service.connect().close()
        with service.wrapped() as client:
            assert echoed(client, b"?") == b"?"
            assert service.greetings.number == 0


def test_one_too_many_costs_the_oldest_and_others_are_served(tls: HouseholdTls) -> None:
    with serving(tls, most=2) as service, service.connect() as first, service.connect() as second:
        with service.wrapped() as client:
            assert echoed(client, b"?") == b"?"
        assert is_closed(first)
        second.settimeout(0.1)
        with pytest.raises(TimeoutError):
            second.recv(1)


def test_at_the_end_all_of_them_are_closed(tls: HouseholdTls) -> None:
    with serving(tls) as service, service.connect() as silent:
        while not service.greetings.number:
            time.sleep(0.01)
        service.loop.call_soon_threadsafe(service.greetings.end)
        assert is_closed(silent)
        assert service.greetings.number == 0
