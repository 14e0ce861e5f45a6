"""What clients that do not end what they began can keep from others: nothing, and not for long."""

from __future__ import annotations

import asyncio
import http.client
import re
import statistics
import threading
import time
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from coach import limits
from coach.web import connections, server
from coach.web.connections import Wait
from coach.web.line import Door
from commands.running import Served, served
from web.half_open import HALF_A_BODY, HALF_A_HEAD, connect, half_open, heard, is_closed
from web.live import LiveHouse

if TYPE_CHECKING:
    from collections.abc import Iterator

DATE = "2027-01-04"
HALF_OPEN, SECONDS, FILES = 400, 11, 256


@pytest.fixture
def live(tmp_path: Path) -> Iterator[LiveHouse]:
    house = LiveHouse(tmp_path)
    house.start()
    yield house
    house.close()


@pytest.fixture
def hasty(live: LiveHouse, monkeypatch: pytest.MonkeyPatch) -> LiveHouse:
    """A house that waits for nobody longer than half a second."""
    monkeypatch.setattr(connections, "SECONDS", dict.fromkeys(Wait, 0.5))
    return live


def seconds_for_pages(running: Served, seconds: float) -> list[float]:
    taken = []
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        begun = time.perf_counter()
        assert running.get("/today")[0] == 200
        taken.append(time.perf_counter() - begun)
        time.sleep(0.1)
    return taken


def kibibytes(running: Served, what: str) -> int:
    status = Path(f"/proc/{running.process.pid}/status").read_text()
    found = re.search(rf"{what}:\s+(\d+) kB", status)
    assert found is not None
    return int(found[1])


@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="needs Linux's /proc")
def test_400_half_open_sockets_and_256_files_keep_no_page_waiting(tmp_path: Path) -> None:
    database = f"sqlite:///{tmp_path / 'home.db'}"
    with served("serve", "--database", database, "--today", DATE, files=FILES) as running:
        running.send("POST", "/api/start", {"first": "bed-made", "zone": "UTC"})
        running.get("/today")
        before = kibibytes(running, "VmRSS")
        with half_open(int(running.address.rpartition(":")[2]), HALF_OPEN) as sockets:
            taken = seconds_for_pages(running, SECONDS)
            early = [one for index, one in enumerate(sockets) if index % 3 != 2]
            time.sleep(limits.HEADER_SECONDS + limits.LINGER_SECONDS + 1 - SECONDS)
            assert all(map(is_closed, early))
            grown = kibibytes(running, "VmHWM") - before
            begun = time.monotonic()
            running.process.terminate()
            said = running.process.communicate(timeout=30)[0]
            ended = time.monotonic() - begun
    middle, most = statistics.median(taken), statistics.quantiles(taken, n=20)[-1]
    told = f"median {middle:.3f} s, 95 of 100 within {most:.3f} s, all within {max(taken):.3f} s"
    print(f"{len(taken)} pages: {told}; {grown} KiB more")  # noqa: T201
    assert most < 1
    assert grown < 64 * 1024
    assert ended < limits.GRACE_SECONDS + 3
    assert said == ""


def test_a_head_that_stops_is_answered_408_and_closed(hasty: LiveHouse) -> None:
    with connect(hasty.port, HALF_A_HEAD) as client:
        said = heard(client)
    assert said.startswith(b"HTTP/1.1 408 Request Timeout\r\n")
    assert b"connection: close" in said
    assert b"content-security-policy" in said
    assert b"Send it again" in said


def test_a_body_that_trickles_is_answered_408_and_leaves_no_trace(
    hasty: LiveHouse, caplog: pytest.LogCaptureFixture
) -> None:
    with connect(hasty.port, HALF_A_BODY) as client:
        begun = time.monotonic()
        for _ in range(40):
            if is_closed(client):
                break
            client.sendall(b"e")
            time.sleep(0.1)
    assert time.monotonic() - begun < 3
    assert not caplog.records


def test_a_body_at_the_least_rate_comes_through(live: LiveHouse, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(connections, "SECONDS", connections.SECONDS | {Wait.BODY: 0.5})
    body = b"title=" + b"a" * 10_000
    head = HALF_A_BODY.partition(b"\r\nContent-Length")[0]
    with connect(
        live.port, head + b"\r\nConnection: close\r\nContent-Length: %d\r\n\r\n" % len(body)
    ) as client:
        for start in range(0, len(body), 1000):
            client.sendall(body[start : start + 1000])
            time.sleep(0.15)
        said = heard(client)
    assert not said.startswith(b"HTTP/1.1 408")
    assert said.startswith(b"HTTP/1.1 4")


def test_a_connection_that_says_nothing_is_closed_without_a_word(hasty: LiveHouse) -> None:
    with connect(hasty.port) as client:
        assert heard(client) == b""


def test_one_answer_is_followed_by_another_after_a_while(live: LiveHouse) -> None:
    kept = http.client.HTTPConnection("127.0.0.1", live.port, timeout=30)
    kept.request("GET", "/healthz")
    assert kept.getresponse().read()
    mine = kept.sock
    time.sleep(6)
    kept.request("GET", "/healthz")
    assert kept.getresponse().read()
    assert kept.sock is mine
    kept.close()


def test_an_idle_connection_is_closed_in_the_end(hasty: LiveHouse) -> None:
    with connect(hasty.port, b"GET /healthz HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n") as client:
        assert heard(client).startswith(b"HTTP/1.1 200")


@pytest.mark.parametrize(
    "lines",
    [b"X-Long: " + b"a" * 1_000_000, b"\r\n".join(b"X-%d: a" % number for number in range(10_000))],
    ids=["one very long line", "10,000 lines"],
)
def test_headers_without_end_are_answered_431(live: LiveHouse, lines: bytes) -> None:
    with connect(live.port, b"GET /today HTTP/1.1\r\nHost: 127.0.0.1\r\n") as client:
        with suppress(ConnectionError):
            client.sendall(lines + b"\r\n\r\n")
        assert heard(client).startswith(b"HTTP/1.1 431 ")


def test_what_is_no_request_is_answered_400_with_the_guards_headers(live: LiveHouse) -> None:
    with connect(live.port, b"\x16\x03\x01 hello\r\n\r\n") as client:
        said = heard(client)
    assert said.startswith(b"HTTP/1.1 400 Bad Request\r\n")
    assert b"x-content-type-options: nosniff" in said


def test_a_body_in_pieces_without_end_is_refused_and_its_connection_closed(hasty: LiveHouse) -> None:
    head = HALF_A_BODY.partition(b"Content-Length")[0] + b"Transfer-Encoding: chunked\r\n\r\n"
    piece = b"1000\r\n" + b"a" * 4096 + b"\r\n"
    with connect(hasty.port, head) as client, pytest.raises(ConnectionError):
        client.sendall(piece * 100_000)
    assert hasty.day()["day"] == 1


def test_requests_sent_without_waiting_are_all_answered_in_order(live: LiveHouse) -> None:
    request = b"GET /healthz HTTP/1.1\r\nHost: 127.0.0.1\r\n"
    with connect(live.port, (request + b"\r\n") * 200 + request + b"Connection: close\r\n\r\n") as client:
        assert heard(client).count(b"HTTP/1.1 200 OK") == 201


def test_a_client_that_reads_nothing_is_closed(hasty: LiveHouse) -> None:
    request = b"GET /today HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n"
    with connect(hasty.port) as client, pytest.raises(ConnectionError):
        client.sendall(request * 1_000_000)


def test_with_too_many_the_oldest_that_nobody_works_for_is_closed(
    live: LiveHouse, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(connections, "INCOMPLETE", 3)
    sockets = [connect(live.port, HALF_A_HEAD) for _ in range(5)]
    assert live.day()["day"] == 1
    time.sleep(0.2)
    with connect(live.port) as late:
        time.sleep(0.2)
        assert [is_closed(one) for one in sockets] == [True, True, True, False, False]
        assert not is_closed(late)
    for one in sockets:
        one.close()


@pytest.fixture
def small(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[LiveHouse]:
    """A house that has room for three connections."""
    monkeypatch.setattr(server, "most_connections", lambda: 3)
    house = LiveHouse(tmp_path)
    house.start()
    yield house
    house.close()


def test_a_new_connection_takes_the_place_of_the_one_that_has_idled_longest(small: LiveHouse) -> None:
    asking = b"GET /healthz HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n"
    sockets = []
    for _ in range(4):
        sockets.append(connect(small.port, asking))
        assert sockets[-1].recv(65536).startswith(b"HTTP/1.1 200")
    assert [is_closed(one) for one in sockets] == [True, False, False, False]
    for one in sockets:
        one.close()


def test_while_all_are_being_answered_a_new_connection_is_told_to_come_again(
    small: LiveHouse, monkeypatch: pytest.MonkeyPatch
) -> None:
    go_on = threading.Event()

    async def enter(_: Door) -> None:
        await asyncio.to_thread(go_on.wait, 30)

    monkeypatch.setattr(Door, "enter", enter)
    change = b"DELETE /api/nothing HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n"
    sockets = [connect(small.port, change) for _ in range(3)]
    time.sleep(0.3)
    with connect(small.port) as late:
        said = heard(late)
    assert said.startswith(b"HTTP/1.1 503 Service Unavailable\r\n")
    assert b"retry-after: 5" in said
    assert not any(map(is_closed, sockets))
    go_on.set()
    assert all(one.recv(65536).startswith(b"HTTP/1.1 ") for one in sockets)
    for one in sockets:
        one.close()
