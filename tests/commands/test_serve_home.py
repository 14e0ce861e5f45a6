"""`coach serve --home`: who gets through to it, under which names, and what the terminal says."""

from __future__ import annotations

import http.client
import json
import os
import re
import signal
import socket
import ssl
import subprocess
import time
from contextlib import ExitStack, contextmanager
from typing import TYPE_CHECKING

import pytest

from coach.machine.authority import PUBLIC_FILE
from commands.running import COACH, PATIENCE, coach, served
from web.house import House

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from commands.running import Served

NAMES = ["steading.home.arpa", "steading.local", "192.168.50.1", "10.1.2.3", "[fd00::7]", "[fe80::1]"]
ELSEWHERE = ["tern-street.example", "203.0.113.5", "steading.home.arpa.example", "[2001:db8::1]"]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("at-home")


@pytest.fixture(scope="module")
def settings(folder: Path) -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("COACH_TLS_FOLDER", str(folder / "certificates"))
        patch.setenv("COACH_ANNOUNCE", "false")
        patch.setenv("COACH_TLS_PORT", "0")
        yield


@pytest.fixture(scope="module")
def home(folder: Path, settings: None) -> Iterator[Served]:  # noqa: ARG001  set before it starts
    with served("serve", "--home", "--tls", "--database", f"sqlite:///{folder / 'home.db'}") as running:
        running.send("POST", "/api/start", {"first": "bed-made", "zone": "Europe/Lisbon"})
        yield running


@pytest.fixture(scope="module")
def lines(home: Served) -> str:
    """What was printed into a pipe besides the first line."""
    assert home.process.stdout is not None
    found = ""
    while not re.search(r"/devices on this machine|every minute", found):
        found += home.process.stdout.readline()
    return found


@pytest.fixture(scope="module")
def alone(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    house = House(tmp_path_factory.mktemp("alone"))
    yield house
    house.close()


def asked(running: Served, path: str, host: str | None = None, **headers: str) -> int:
    """The status of an answer to this machine, asked under a name."""
    port = int(running.address.rpartition(":")[2])
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=PATIENCE)
    connection.request("GET", path, headers={"Host": f"{host or '127.0.0.1'}:{port}", **headers})
    status = connection.getresponse().status
    connection.close()
    return status


def test_the_machines_own_browser_is_trusted(home: Served) -> None:
    assert asked(home, "/api/today") == 200
    assert asked(home, "/api/today", "localhost") == 200


@pytest.mark.parametrize("header", ["X-Forwarded-For", "Forwarded", "X-Real-IP", "Via", "X-Forwarded-Host"])
@pytest.mark.parametrize("said", ["127.0.0.1", "192.168.50.2"])
def test_what_came_by_a_proxy_is_not_the_machines_own_browser(home: Served, header: str, said: str) -> None:
    assert asked(home, "/api/today", **{header: said}) == 401


@pytest.mark.parametrize("name", NAMES)
def test_the_homes_names_are_answered_to_with_home_alone_and_give_no_trust(
    home: Served, alone: House, name: str
) -> None:
    assert asked(home, "/api/today", name) == 401
    assert alone.http.get("/healthz", headers={"Host": f"{name}:8420"}).status_code == 400


@pytest.mark.parametrize("name", ELSEWHERE)
def test_a_name_that_a_site_points_at_this_machine_is_refused(home: Served, alone: House, name: str) -> None:
    assert asked(home, "/healthz", name) == 400
    assert alone.http.get("/healthz", headers={"Host": f"{name}:8420"}).status_code == 400


@pytest.fixture(scope="module")
def tls_port(lines: str) -> int:
    found = re.search(r"https://steading\.local:(\d+)/", lines)
    assert found is not None
    return int(found[1])


@contextmanager
def shaken_hands(folder: Path, port: int, name: str) -> Iterator[ssl.SSLSocket]:
    """A connection over TLS by somebody who trusts the household's authority and nobody else."""
    trusting = ssl.create_default_context(cafile=folder / "certificates" / PUBLIC_FILE)
    plain = socket.create_connection(("127.0.0.1", port), timeout=PATIENCE)
    with trusting.wrap_socket(plain, server_hostname=name, do_handshake_on_connect=False) as connection:
        connection.do_handshake()
        yield connection


@pytest.mark.parametrize("name", ["steading.home.arpa", "steading.local", "127.0.0.1", "localhost"])
def test_with_tls_the_same_process_speaks_https_under_its_names(
    home: Served, folder: Path, tls_port: int, name: str
) -> None:
    with shaken_hands(folder, tls_port, name) as connection:
        connection.sendall(f"GET /api/today HTTP/1.1\r\nHost: {name}:{tls_port}\r\n\r\n".encode())
        said = connection.recv(4096).decode()
    # A name that other machines have too makes nobody this machine's own browser.
    assert said.startswith("HTTP/1.1 401 " if name.startswith("steading") else "HTTP/1.1 200 ")
    assert "strict-transport-security" not in said.lower()
    assert home.get("/healthz")[0] == 200


def test_a_device_that_pairs_over_tls_gets_the_cookie_that_no_other_host_can_set(
    home: Served, folder: Path, tls_port: int
) -> None:
    code = home.send("POST", "/api/pairing", {})["code"]
    body = json.dumps({"code": code, "name": "Ana", "device": "phone"})
    name = f"steading.home.arpa:{tls_port}"
    head = f"POST /api/pair HTTP/1.1\r\nHost: {name}\r\nOrigin: https://{name}\r\nConnection: close\r\n"
    head += f"Content-Type: application/json\r\nContent-Length: {len(body)}\r\n\r\n"
    with shaken_hands(folder, tls_port, "steading.home.arpa") as connection:
        connection.sendall((head + body).encode())
        said = b"".join(iter(lambda: connection.recv(4096), b"")).decode()
    assert said.startswith("HTTP/1.1 201 ")
    assert re.search(r"set-cookie: __Host-steading=.*; Secure", said, re.IGNORECASE)


def test_a_request_that_cannot_be_read_is_answered_over_tls_too(folder: Path, tls_port: int) -> None:
    with shaken_hands(folder, tls_port, "localhost") as connection:
        connection.sendall(b"\x16\x03\x01 hello\r\n\r\n")
        assert connection.recv(4096).startswith(b"HTTP/1.1 400 ")


def test_plain_words_on_the_port_of_tls_end_that_connection_alone(home: Served, tls_port: int) -> None:
    with socket.create_connection(("127.0.0.1", tls_port), timeout=PATIENCE) as connection:
        connection.sendall(b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n")
        assert not connection.recv(4096).startswith(b"HTTP")
    assert home.get("/healthz")[0] == 200


def test_those_who_shake_no_hands_keep_nobody_out_for_long_and_no_files(
    home: Served, folder: Path, tls_port: int
) -> None:
    with ExitStack() as until, shaken_hands(folder, tls_port, "localhost") as before:
        silent = [until.enter_context(socket.create_connection(("127.0.0.1", tls_port))) for _ in range(40)]
        for one in silent:
            one.settimeout(2)
        assert is_hung_up_on(silent[-1])
        assert home.get("/healthz")[0] == 200
        before.sendall(b"GET /healthz HTTP/1.1\r\nHost: localhost\r\n\r\n")
        assert before.recv(4096).startswith(b"HTTP/1.1 200 ")
        for one in silent:
            one.close()
        assert is_soon_answered(folder, tls_port)


def is_soon_answered(folder: Path, port: int) -> bool:
    """Whether hands are shaken with a newcomer, as soon as it was noticed that others have gone."""
    until = time.monotonic() + 8
    while time.monotonic() < until:
        try:
            with shaken_hands(folder, port, "localhost") as connection:
                connection.sendall(b"GET /healthz HTTP/1.1\r\nHost: localhost\r\n\r\n")
                return connection.recv(4096).startswith(b"HTTP/1.1 200 ")
        except ConnectionError:
            time.sleep(0.1)
    return False


def is_hung_up_on(connection: socket.socket) -> bool:
    try:
        return connection.recv(1) == b""
    except TimeoutError:
        return False
    except ConnectionError:
        return True


@pytest.mark.parametrize("host", ["203.0.113.5", "0.0.0.0", "::", "example.org", "2001:db8::1"])  # noqa: S104  refused
def test_an_address_beyond_the_home_is_refused_with_what_to_do(host: str, tmp_path: Path) -> None:
    database = f"sqlite:///{tmp_path / 'home.db'}"
    ended = coach("serve", "--home", "--database", database, "--host", host, "--port", "0")
    assert (ended.returncode, ended.stderr.count("\n")) == (2, 1)
    assert "Leave --host out" in ended.stderr
    assert not (tmp_path / "home.db").exists()


def test_tls_without_a_home_is_refused() -> None:
    ended = coach("serve", "--tls", "--port", "0")
    assert (ended.returncode, ended.stderr.count("\n")) == (2, 1)
    assert "use it with --home" in ended.stderr


def test_a_port_in_use_is_said_in_one_line_whichever_it_is(tmp_path: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        ended = coach("serve", "--home", "--database", f"sqlite:///{tmp_path / 'home.db'}", "--port", port)
    assert (ended.returncode, ended.stderr.count("\n")) == (2, 1)
    assert f"Port {port} cannot be used" in ended.stderr


def test_what_is_no_terminal_is_told_no_code(lines: str) -> None:
    assert "For a code that lets a phone in" in lines or "has no address in a home network" in lines
    assert "type" not in lines
    assert "█" not in lines


def test_a_terminal_shows_the_picture_and_a_code_that_lets_a_phone_in(tmp_path: Path, settings: None) -> None:  # noqa: ARG001
    lines = lines_in_a_terminal(tmp_path)
    if "has no address in a home network" in lines:
        # There is nothing that a phone could be shown.
        assert "▀" not in lines
        return
    assert "▀" in lines
    assert "good for one phone and 10 minutes" in lines
    found = re.search(r"type ([A-Z]{4}) ([A-Z]{4})\.", lines)
    assert found is not None
    assert set(found[1] + found[2]) <= set("BCDFGHJKLMNPQRSTVWXZ")


def lines_in_a_terminal(folder: Path) -> str:
    """What the command prints to whoever starts it."""
    near, far = os.openpty()
    command = [*COACH, "serve", "--home", "--database", f"sqlite:///{folder / 'home.db'}", "--port", "0"]
    process = subprocess.Popen(command, stdout=far, stderr=subprocess.DEVNULL)
    os.close(far)
    said = b""
    try:
        while not re.search(rb"/devices on this machine|every minute", said):
            said += os.read(near, 4096)
    finally:
        process.send_signal(signal.SIGTERM)
        process.wait(PATIENCE)
        os.close(near)
    return said.decode()
