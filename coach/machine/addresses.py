"""Under which addresses and names this machine is reached at home, and which addresses are at home."""

from __future__ import annotations

import re
from dataclasses import dataclass
from ipaddress import IPv4Address, IPv6Address, ip_address, ip_network
from typing import TYPE_CHECKING

import ifaddr

from coach.errors import NotReady

if TYPE_CHECKING:
    from collections.abc import Iterable

    IP = IPv4Address | IPv6Address

FULL_NAME = "steading.home.arpa"
"""What the service is called at home: RFC 8375 keeps `home.arpa` for names inside a home."""

LOCAL_NAME = "steading.local"
"""What it is called by multicast DNS (RFC 6762 §3), which needs no help from the router."""

NAMES = (FULL_NAME, LOCAL_NAME)
LOOPBACK_NAME = "localhost"

PRIVATE = tuple(
    ip_network(network)
    for network in (
        "10.0.0.0/8",  # RFC 1918 §3, and the next two
        "172.16.0.0/12",
        "192.168.0.0/16",
        "fc00::/7",  # RFC 4193 §3.1
        "169.254.0.0/16",  # RFC 3927 §2.1
        "fe80::/10",  # RFC 4291 §2.4
    )
)
"""The private networks, those first whose addresses are better to offer."""

_ONE_LINK = ip_network("fe80::/10")
_VIRTUAL = re.compile(
    r"docker|br-[0-9a-f]{6}|veth|virbr|vmnet|vboxnet|vnet|lxc|lxd|cni|flannel|cali|podman|tun|tap|wg|utun"
    r"|tailscale|zt|ppp|ipsec|awdl|llw|anpi|bridge\d|vethernet|hyper-v|virtualbox|vmware|wireguard|zerotier",
    re.IGNORECASE,
)
"""How adapters begin that lead to containers, machines within this one or tunnels."""


@dataclass(frozen=True, slots=True)
class Address:
    """A private address of this machine.

    Attributes:
        ip: The address, without a zone.
        adapter: The adapter that has it, as the system calls it.
    """

    ip: IP
    adapter: str

    @property
    def host(self) -> str:
        """As it stands in the address line of a browser."""
        return f"[{self.ip}]" if self.ip.version == 6 else str(self.ip)  # noqa: PLR2004  IPv6

    @property
    def is_virtual(self) -> bool:
        """Whether its adapter leads to something other than the home's own network."""
        return _VIRTUAL.match(self.adapter) is not None

    @property
    def fits_a_browser(self) -> bool:
        """Whether a browser can be sent to it: link-local IPv6 needs a zone, which no address line takes."""
        return self.ip not in _ONE_LINK


def is_loopback(address: str | IP) -> bool:
    """Whether an address is this machine itself; an IPv4 address written as IPv6 is what it maps."""
    ip = _read(address)
    return ip is not None and ip.is_loopback


def is_private(address: str | IP) -> bool:
    """Whether an address belongs to a private network: RFC 1918, RFC 4193 or link-local."""
    ip = _read(address)
    return ip is not None and any(ip in network for network in PRIVATE)


def is_at_home(address: str | IP) -> bool:
    """Whether an address is on this machine or in a home's network; what is no address is not."""
    return is_loopback(address) or is_private(address)


def host_is_loopback(name: str) -> bool:
    """Whether a host name without its port is this machine's own, as its own browser uses it."""
    return _plain(name) == LOOPBACK_NAME or is_loopback(_literal(name))


def host_is_known(name: str) -> bool:
    """Whether the service answers to a host name at home.

    An address as a name is safe, since no site can make its own name lead there; of other names there are
    the service's two, and no others.

    Args:
        name: As it stands in a Host header, without the port; IPv6 in brackets.
    """
    return host_is_loopback(name) or _plain(name) in NAMES or is_private(_literal(name))


def _plain(name: str) -> str:
    """A name in small letters, without the dot that may end a full one."""
    return name.lower().removesuffix(".")


def _literal(host: str) -> str:
    """The address that a host name is: IPv4 bare, IPv6 in brackets; else nothing."""
    if host.startswith("[") and host.endswith("]"):
        return host[1:-1] if ":" in host else ""
    return "" if ":" in host else host


def _read(address: str | IP) -> IP | None:
    if isinstance(address, str):
        try:
            address = ip_address(address)
        except ValueError:
            return None
    return (isinstance(address, IPv6Address) and address.ipv4_mapped) or address


def private_addresses(adapters: Iterable[ifaddr.Adapter] | None = None) -> tuple[Address, ...]:
    """The machine's private addresses in the order one would offer them.

    Those of the home's own network come before those of containers and tunnels, and among these RFC 1918
    before RFC 4193 before link-local ones.

    Args:
        adapters: Where to look, if not at this machine's own.

    Raises:
        NotReady: The system does not tell its addresses.
    """
    found = [
        Address(ip, adapter.nice_name)
        for adapter in (_adapters() if adapters is None else adapters)
        for one in adapter.ips
        if is_private(ip := ip_address(one.ip if isinstance(one.ip, str) else one.ip[0]))
    ]
    return tuple(sorted(dict.fromkeys(found), key=_rank))


def _adapters() -> Iterable[ifaddr.Adapter]:
    try:
        return ifaddr.get_adapters()
    except OSError as error:
        raise NotReady(
            f"This machine does not tell its own addresses: {error.strerror}. "
            "Without --home Steading needs none."
        ) from error


def _rank(address: Address) -> tuple[bool, int]:
    """The lower, the sooner to be offered."""
    return address.is_virtual, next(at for at, network in enumerate(PRIVATE) if address.ip in network)


def for_browsers(found: Iterable[Address]) -> tuple[Address, ...]:
    """Those of the addresses to which a browser can be sent, in their order."""
    return tuple(one for one in found if one.fits_a_browser)


def offered(found: Iterable[Address]) -> tuple[Address, ...]:
    """Those to offer to a phone: of the home's own network, or, where there are none, whatever there is."""
    fitting = for_browsers(found)
    return tuple(one for one in fitting if not one.is_virtual) or fitting
