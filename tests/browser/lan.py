"""A home network made for a test: a house, a phone and somebody beyond, each in a namespace of its own."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING

import pytest

from browser.conftest import ARGUMENTS, CHROMIUM
from commands.running import PATIENCE

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from playwright.sync_api import Browser, Playwright

HOUSE, PHONE = "192.168.50.1", "192.168.50.2"
HOUSE6, PHONE6 = "fd00:50::1", "fd00:50::2"
PUBLIC, BEYOND = "203.0.113.1", "203.0.113.2"
"""Addresses of documentation (RFC 5737 §3), which are nobody's and not private."""

KNOCK = """
import json, socket, sys
heard = {}
for place in sys.argv[1:]:
    host, port = place.rsplit(":", 1)
    asked = b"GET /trust HTTP/1.1\\r\\nHost: " + host.encode() + b"\\r\\n\\r\\n"
    host = host.strip("[]")
    try:
        with socket.create_connection((host, int(port)), timeout=5) as connection:
            connection.sendall(asked)
            heard[place] = connection.recv(100).decode("latin-1")
    except ConnectionError:
        heard[place] = ""
print(json.dumps(heard))
"""


def missing() -> str:
    """What keeps networks from being made here; nothing: they can be."""
    if sys.platform != "linux" or os.geteuid() != 0:
        return "networks of a test's own are made by root on Linux alone"
    needed = {"ip": "iproute2", "certutil": "libnss3-tools"}
    absent = [
        f"{program} (Debian: {package})" for program, package in needed.items() if not shutil.which(program)
    ]
    return f"there is no {' and no '.join(absent)}" if absent else ""


def need() -> None:
    """Skip where there can be no such network; fail where root is to run every test."""
    if reason := missing():
        if os.environ.get("COACH_REQUIRE_ALL") == "1" and hasattr(os, "geteuid") and os.geteuid() == 0:
            pytest.fail(reason)
        pytest.skip(reason)


@dataclass(frozen=True)
class Place:
    """A network namespace.

    Attributes:
        name: Its name.
    """

    name: str

    def command(self, *words: object) -> list[str]:
        """A command that runs in it."""
        return ["ip", "netns", "exec", self.name, *map(str, words)]

    def ip(self, *words: str) -> None:
        """Set something of its network."""
        subprocess.run(["ip", "-n", self.name, *words], check=True, capture_output=True)

    def heard(self, *places: str) -> dict[str, str]:
        """What each of these says to somebody here who asks."""
        ended = subprocess.run(
            self.command(sys.executable, "-I", "-c", KNOCK, *places),
            check=True,
            capture_output=True,
            timeout=PATIENCE,
        )
        found: dict[str, str] = json.loads(ended.stdout)
        return found

    def browser(
        self, playwright: Playwright, home: Path, *arguments: str, program: Path = CHROMIUM
    ) -> Browser:
        """A browser here, with a folder of its own as home."""
        script = home / f"{self.name}.sh"
        script.write_text(f'#!/bin/sh\nexec ip netns exec {self.name} {program} "$@"\n')
        script.chmod(0o700)
        return playwright.chromium.launch(
            executable_path=script, args=[*ARGUMENTS, *arguments], env={**os.environ, "HOME": str(home)}
        )


@dataclass(frozen=True)
class Lan:
    """The places of a home network, and one beyond it."""

    house: Place
    phone: Place
    beyond: Place


@contextmanager
def lan() -> Iterator[Lan]:
    """The networks, until the block ends."""
    with ExitStack() as until:
        found = Lan(
            *(until.enter_context(_place(f"steading-{name}-{os.getpid()}")) for name in ("h", "p", "b"))
        )
        _join(found.house, found.phone, ("home0", HOUSE, PHONE))
        _join(found.house, found.beyond, ("wide0", PUBLIC, BEYOND))
        found.house.ip("address", "add", f"{HOUSE6}/64", "dev", "home0", "nodad")
        found.phone.ip("address", "add", f"{PHONE6}/64", "dev", "eth0", "nodad")
        # Each also knows a way to the machine's address in the other's network.
        found.phone.ip("route", "add", PUBLIC, "via", HOUSE)
        found.beyond.ip("route", "add", HOUSE, "via", PUBLIC)
        yield found


@contextmanager
def _place(name: str) -> Iterator[Place]:
    subprocess.run(["ip", "netns", "add", name], check=True, capture_output=True)
    place = Place(name)
    try:
        place.ip("link", "set", "lo", "up")
        yield place
    finally:
        subprocess.run(["ip", "netns", "delete", name], check=True, capture_output=True)


def _join(near: Place, far: Place, cable: tuple[str, str, str]) -> None:
    """Lay a cable between two places, with an address at each end."""
    name, here, there = cable
    near.ip("link", "add", name, "type", "veth", "peer", "name", "eth0", "netns", far.name)
    for place, end, address in ((near, name, here), (far, "eth0", there)):
        place.ip("address", "add", f"{address}/24", "dev", end)
        place.ip("link", "set", end, "up")
