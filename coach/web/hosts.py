"""The host names and addresses under which the service answers, and those it answers to."""

from __future__ import annotations

import ipaddress
from dataclasses import dataclass

from coach.settings import LOOPBACK

NAMES = ("steading.home.arpa", "steading.local")
"""What the service is called in a home network: RFC 8375 reserves home.arpa for one, RFC 6762 has .local."""

PRIVATE = tuple(
    map(
        ipaddress.ip_network,
        ("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16", "fc00::/7", "fe80::/10"),
    )
)
"""Addresses of home networks (RFC 1918, RFC 4193) and of a single link (RFC 3927, RFC 4291)."""


@dataclass(frozen=True, slots=True)
class Hosts:
    """Which names are answered to.

    Attributes:
        names: Those named one by one, in small letters.
        at_home: Whether the private addresses and names of a home network are among them.
    """

    names: frozenset[str]
    at_home: bool = False

    def knows(self, name: str) -> bool:
        """Whether a Host header's name, without its port and in small letters, is answered to."""
        if name in self.names:
            return True
        return self.at_home and (name in NAMES or is_private(name.removeprefix("[").removesuffix("]")))


def is_private(address: str) -> bool:
    """Whether a text is an address of a home network or of a single link."""
    found = _address(address)
    return found is not None and any(found in network for network in PRIVATE)


def is_loopback(address: str) -> bool:
    """Whether a text is an address of this machine alone."""
    found = _address(address)
    return found is not None and found.is_loopback


def is_loopback_name(name: str) -> bool:
    """Whether a host name without its port, in small letters, is one of this machine alone."""
    return name in LOOPBACK


def _address(text: str) -> ipaddress.IPv4Address | ipaddress.IPv6Address | None:
    try:
        found = ipaddress.ip_address(text)
    except ValueError:
        return None
    mapped = found.ipv4_mapped if isinstance(found, ipaddress.IPv6Address) else None
    return mapped or found
