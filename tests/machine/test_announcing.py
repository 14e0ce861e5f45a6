"""The name on the network, asked for by a second speaker of multicast DNS on this machine's loopback."""

from __future__ import annotations

import gc
import queue
import secrets
import time
from ipaddress import ip_address
from typing import TYPE_CHECKING

import pytest
from zeroconf import ServiceBrowser, ServiceInfo, ServiceListener, Zeroconf

from coach.machine import announcing
from coach.machine.addresses import Address
from coach.machine.announcing import SECURE_WEB, Announcing, answers, speaker

if TYPE_CHECKING:
    from collections.abc import Callable

PATIENCE = 20
HERE, ELSEWHERE = (Address(ip_address(f"127.0.0.{last}"), "lo") for last in (1, 2))


@pytest.fixture
def name() -> str:
    """A name of its own, since whoever else runs this test on the machine hears it."""
    return f"steading-{secrets.token_hex(4)}.local"


@pytest.fixture
def nobody_else(monkeypatch: pytest.MonkeyPatch) -> pytest.MonkeyPatch:
    """Do not wait long for others that might have the name."""
    monkeypatch.setattr(announcing, "ASK_MS", 200)
    return monkeypatch


class Found(ServiceListener):
    """The services of a kind that the network tells of."""

    def __init__(self) -> None:
        self.there: dict[str, ServiceInfo] = {}
        self.gone: set[str] = set()

    def add_service(self, zc: Zeroconf, type_: str, name: str) -> None:
        info = zc.get_service_info(type_, name)
        if info is not None and info.server is not None:
            self.there[info.server] = info

    update_service = add_service

    def remove_service(self, _zc: Zeroconf, _type: str, name: str) -> None:
        self.gone.add(name)


def until(is_so: Callable[[], bool]) -> bool:
    """Whether it comes to be so within some patience."""
    ends = time.monotonic() + PATIENCE
    while not is_so():
        if time.monotonic() > ends:
            return False
        time.sleep(0.05)
    return True


@pytest.mark.usefixtures("nobody_else")
def test_a_phone_finds_name_address_and_port_and_no_longer_after_the_end(name: str) -> None:
    told: list[str] = []
    ours = Announcing(8420, told.append, secure=True, name=name)
    ours.start([HERE])
    with speaker([HERE]) as voice:
        found = Found()
        browser = ServiceBrowser(voice, SECURE_WEB, found)
        assert until(lambda: f"{name}." in found.there)
        info = found.there[f"{name}."]
        assert (info.port, info.parsed_addresses()) == (8420, ["127.0.0.1"])
        ours.stop()
        ours.stop()
        assert until(lambda: info.name in found.gone)
        browser.cancel()
    assert told == []


def test_a_name_that_another_machine_has_is_left_to_it(name: str, nobody_else: pytest.MonkeyPatch) -> None:
    told: queue.Queue[str] = queue.Queue()
    first, second = (Announcing(port, told.put, name=name) for port in (1, 2))
    first.start([ELSEWHERE])
    with speaker([HERE]) as voice:
        assert until(lambda: answers(voice, name) == ("127.0.0.2",))
    # It ends as soon as somebody answers, and this machine may have much else to do.
    nobody_else.setattr(announcing, "ASK_MS", 8000)
    second.start([HERE])
    said = told.get(timeout=PATIENCE)
    first.stop()
    second.stop()
    assert said == (
        f"{name} is not announced: another machine has the name already (127.0.0.2). "
        "Use the address, or end the other."
    )


def test_without_an_address_it_says_so_and_nothing_fails() -> None:
    told: queue.Queue[str] = queue.Queue()
    ours = Announcing(8420, told.put)
    ours.start([Address(ip_address("fe80::1"), "eth0")])
    assert "this machine has no address in a home's network" in told.get(timeout=PATIENCE)
    ours.stop()


# The library leaves a socket to the garbage collector where it fails.
@pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning", "ignore::ResourceWarning")
def test_where_multicast_does_not_get_through_it_says_so_and_nothing_fails() -> None:
    told: queue.Queue[str] = queue.Queue()
    ours = Announcing(8420, told.put)
    # An address that this machine does not have cannot be spoken from.
    ours.start([Address(ip_address("192.168.254.253"), "wlan0")])
    assert "multicast DNS does not get through" in told.get(timeout=PATIENCE)
    ours.stop()
    gc.collect()
