"""Connections to the internet, which go to public addresses alone, whatever a name may lead to."""

from __future__ import annotations

import re
import socket
import ssl
import threading
from contextlib import suppress
from dataclasses import dataclass, field
from ipaddress import IPv4Address, ip_address, ip_network
from time import monotonic
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from coach.machine.addresses import IP

HTTPS = 443

LOOK_UP_SECONDS = 5
"""How long a name is looked up; the system itself may take half a minute."""

MOST_ADDRESSES = 4
"""How many addresses of one name are tried."""

NAME_CHARACTERS = 253
"""A name of the internet in letters (RFC 1035 §2.3.4)."""

HOME_ENDINGS = (
    "localhost",  # RFC 6761 §6.3
    "local",  # RFC 6762 §3
    "home.arpa",  # RFC 8375
    "internal",
    "onion",  # RFC 7686
    "invalid",  # RFC 6761 §6.4, and the next
    "test",
)
"""How names end that lead to nothing in the internet, or to something at home."""

_GLOBAL_V6 = ip_network("2000::/3")
"""Where global unicast addresses lie (RFC 4291 §2.4): and what stands for IPv4 does not."""

_NOT_PUBLIC = tuple(
    ip_network(network)
    for network in (
        "100.64.0.0/10",  # shared with one's provider, RFC 6598
        "192.0.0.0/24",  # RFC 6890
        "192.88.99.0/24",  # relays of 6to4, RFC 7526
        "198.18.0.0/15",  # measuring, RFC 2544
        "2001::/23",  # RFC 2928, with Teredo (RFC 4380), which holds IPv4 addresses
        "2001:db8::/32",  # RFC 3849
        "2002::/16",  # 6to4, which holds IPv4 addresses, RFC 3056
        "3fff::/20",  # RFC 9637
    )
)

_LABEL = re.compile(r"(?!-)[a-z0-9-]{1,63}(?<!-)")


class Refused(Exception):
    """A connection that is not made, or an answer that is not read; the text says why."""


def is_public(ip: IP) -> bool:
    """Whether an address belongs to one host of the internet, and to nothing at home."""
    if ip.is_multicast or ip.is_reserved or not ip.is_global:
        return False
    if any(ip in network for network in _NOT_PUBLIC if network.version == ip.version):
        return False
    return isinstance(ip, IPv4Address) or ip in _GLOBAL_V6


def name_fault(name: str) -> str:
    """Why a name is none of the internet, in words; empty where it can be one."""
    labels = name.lower().removesuffix(".").split(".")
    if len(name) > NAME_CHARACTERS or not all(map(_LABEL.fullmatch, labels)):
        return f"“{name[:NAME_CHARACTERS]}” is no name of a host."
    # What ends in a number is read as an address, in any of its spellings.
    if re.fullmatch(r"\d+|0x[0-9a-f]*", labels[-1]):
        return f"“{name}” is an address; a name has to stand there."
    home = any(f".{'.'.join(labels)}".endswith(f".{ending}") for ending in HOME_ENDINGS)
    if len(labels) == 1 or home:
        return f"“{name}” is a name of this machine or of a home's network, not of the internet."
    return ""


def looked_up(name: str, port: int) -> Sequence[str]:
    """The addresses that the system finds for a name; none where it finds none in time."""
    found: list[str] = []

    def ask() -> None:
        with suppress(OSError, UnicodeError):
            found.extend(str(one[4][0]) for one in socket.getaddrinfo(name, port, type=socket.SOCK_STREAM))

    asking = threading.Thread(target=ask, daemon=True)
    asking.start()
    asking.join(LOOK_UP_SECONDS)
    return tuple(dict.fromkeys(found))


@dataclass(frozen=True, slots=True)
class Outside:
    """How the internet is reached. Only a test gives another than `INTERNET`.

    Attributes:
        look_up: The addresses of a name.
        allows: Whether an address may be connected to.
        ports: Ports that may be connected to.
        context: What a host has to prove that it is who it says; made when first needed.
    """

    look_up: Callable[[str, int], Sequence[str]] = looked_up
    allows: Callable[[IP], bool] = is_public
    ports: frozenset[int] = frozenset({HTTPS})
    context: Callable[[], ssl.SSLContext] = field(default=ssl.create_default_context)

    def addresses(self, name: str, port: int) -> tuple[IP, ...]:
        """The addresses of a name, every one of them allowed.

        Raises:
            Refused: The name or one of its addresses is not public.
            OSError: It leads nowhere.
        """
        if port not in self.ports:
            raise Refused(f"Port {port} is none that messages are sent to; leave it out.")
        if fault := name_fault(name):
            raise Refused(fault)
        found = tuple(ip_address(one.partition("%")[0]) for one in self.look_up(name, port))
        if not found:
            raise OSError(f"{name} is not found.")
        # One that is not public is enough: whoever names it means this machine or this network.
        if not all(map(self.allows, found)):
            raise Refused(f"{name} leads to this machine, a private network or nowhere in the internet.")
        return found[:MOST_ADDRESSES]

    def connected(self, name: str, port: int, until: float) -> ssl.SSLSocket:
        """A connection to an address that was checked, with whoever can prove to have that name.

        The name is looked up once, and what was found is what is connected to, so that it cannot lead
        elsewhere the second time.

        Args:
            name: The host.
            port: Its port.
            until: When to give up, by the monotonic clock.

        Raises:
            Refused: It is not public.
            OSError: Nobody answers there, or somebody else does.
        """
        plain = first_reached(list(map(str, self.addresses(name, port))), port, until)
        try:
            plain.settimeout(remaining(until))
            return self.context().wrap_socket(plain, server_hostname=name)
        except BaseException:
            plain.close()
            raise


INTERNET = Outside()


def first_reached(addresses: Sequence[str], port: int, until: float) -> socket.socket:
    """A connection to the first address that answers.

    Raises:
        OSError: None does, or time is up.
    """
    failed = OSError("There is no address to try.")
    for at, one in enumerate(addresses):
        share = remaining(until) / (len(addresses) - at)
        try:
            return socket.create_connection((one, port), share)
        except OSError as error:
            failed = error
    raise failed


def remaining(until: float) -> float:
    """Seconds that are left.

    Raises:
        TimeoutError: None are.
    """
    left = until - monotonic()
    if left <= 0:
        raise TimeoutError("It took too long.")
    return left
