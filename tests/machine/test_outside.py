"""Which addresses count as the internet, and that nothing else is connected to."""

from __future__ import annotations

import socket
import ssl
import threading
from ipaddress import ip_address
from time import monotonic
from typing import TYPE_CHECKING

import pytest

from coach.machine import outside
from coach.machine.outside import INTERNET, Outside, Refused, is_public, name_fault

if TYPE_CHECKING:
    from collections.abc import Sequence

NOT_PUBLIC = [
    "0.0.0.0",  # noqa: S104  as an address, not to listen on
    "10.1.2.3",
    "100.64.0.1",
    "127.0.0.1",
    "127.8.9.1",
    "169.254.169.254",
    "172.31.0.9",
    "192.0.0.8",
    "192.0.2.1",
    "192.88.99.1",
    "192.168.1.1",
    "198.18.0.1",
    "198.51.100.7",
    "203.0.113.9",
    "224.0.0.251",
    "239.1.1.1",
    "240.0.0.1",
    "255.255.255.255",
    "::",
    "::1",
    "::127.0.0.1",
    "::ffff:127.0.0.1",
    "::ffff:8.8.8.8",
    "64:ff9b::7f00:1",
    "64:ff9b::808:808",
    "64:ff9b:1::a00:1",
    "100::1",
    "2001::1",
    "2001:0:53aa:64c:0:0:80ff:fffe",
    "2001:db8::1",
    "2002:7f00:1::",
    "3fff::1",
    "5f00::1",
    "fc00::1",
    "fd12:3456::20",
    "fe80::1",
    "fec0::1",
    "ff02::fb",
]
PUBLIC = ["8.8.8.8", "1.1.1.1", "193.0.6.139", "2606:4700::1111", "2a00:1450:4001:82b::200e"]


@pytest.mark.parametrize("address", NOT_PUBLIC)
def test_this_machine_networks_at_home_and_what_leads_there_are_not_public(address: str) -> None:
    assert not is_public(ip_address(address))


@pytest.mark.parametrize("address", PUBLIC)
def test_addresses_of_the_internet_are(address: str) -> None:
    assert is_public(ip_address(address))


@pytest.mark.parametrize("address", NOT_PUBLIC)
def test_a_name_of_which_one_address_is_not_public_is_refused(address: str) -> None:
    found = Outside(look_up=lambda *_: ("8.8.8.8", address))
    with pytest.raises(Refused, match="this machine, a private network or nowhere"):
        found.addresses("push.example.net", 443)


@pytest.mark.parametrize(
    "name",
    [
        "",
        "localhost",
        "LOCALHOST.",
        "steading",
        "steading.local",
        "steading.home.arpa",
        "a.localhost",
        "db.internal",
        "127.0.0.1",
        "127.1",
        "0x7f.1",
        "push.0x7f",
        "2130706433",
        "[::1]",
        "::1",
        "push..example",
        "-a.example",
        "a b.example",
        "pusch.exämple",
        "a" * 64 + ".example",
        "a." * 127 + "example",
        "push.example.net\n",
    ],
)
def test_what_is_no_name_of_the_internet_is_refused_before_it_is_looked_up(name: str) -> None:
    asked: list[str] = []

    def look_up(one: str, _: int) -> Sequence[str]:
        asked.append(one)
        return ("8.8.8.8",)

    assert name_fault(name)
    with pytest.raises(Refused):
        Outside(look_up=look_up).addresses(name, 443)
    assert asked == []


def test_no_other_port_than_that_of_https_is_connected_to() -> None:
    with pytest.raises(Refused, match="Port 22"):
        Outside(look_up=lambda *_: ("8.8.8.8",)).addresses("push.example.net", 22)


def test_what_the_service_uses_is_the_strict_one() -> None:
    assert (INTERNET.look_up, INTERNET.allows, INTERNET.ports) == (
        outside.looked_up,
        is_public,
        frozenset({443}),
    )
    assert INTERNET.context().check_hostname
    assert INTERNET.context().verify_mode is ssl.CERT_REQUIRED


def test_a_name_that_leads_elsewhere_the_second_time_is_looked_up_once() -> None:
    answers = iter([("127.0.0.2",), ("127.0.0.1",)])
    with socket.create_server(("127.0.0.1", 0)) as inside:
        inside.settimeout(0.05)
        port = inside.getsockname()[1]
        found = Outside(
            look_up=lambda *_: next(answers),
            allows=lambda ip: str(ip) == "127.0.0.2",
            ports=frozenset({port}),
        )
        with pytest.raises(OSError):  # noqa: PT011  whatever the system calls it: nobody listens at .2
            found.connected("push.example.net", port, monotonic() + 2)
        with pytest.raises(TimeoutError):
            inside.accept()
    assert next(answers) == ("127.0.0.1",)


def test_whoever_does_not_shake_hands_is_not_waited_for() -> None:
    with socket.create_server(("127.0.0.1", 0)) as silent:
        port = silent.getsockname()[1]
        found = Outside(look_up=lambda *_: ("127.0.0.1",), allows=lambda _: True, ports=frozenset({port}))
        began = monotonic()
        with pytest.raises(TimeoutError):
            found.connected("push.example.net", port, began + 0.2)
        assert monotonic() - began < 2


def test_a_resolver_that_hangs_is_not_waited_for(monkeypatch: pytest.MonkeyPatch) -> None:
    free = threading.Event()
    monkeypatch.setattr(outside, "LOOK_UP_SECONDS", 0.05)
    monkeypatch.setattr(socket, "getaddrinfo", lambda *_, **__: (free.wait(5), [])[1])
    try:
        assert outside.looked_up("push.example.net", 443) == ()
    finally:
        free.set()


def test_a_name_that_is_in_no_list_is_not_found(monkeypatch: pytest.MonkeyPatch) -> None:
    def nobody(*_: object, **__: object) -> None:
        raise socket.gaierror(socket.EAI_NONAME, "unknown")

    monkeypatch.setattr(socket, "getaddrinfo", nobody)
    with pytest.raises(OSError, match="not found"):
        INTERNET.addresses("push.example.net", 443)
