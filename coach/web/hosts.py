"""The host names under which the service is asked, and those it answers to."""

from __future__ import annotations

from dataclasses import dataclass

from coach.machine.addresses import host_is_known


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
        return name in self.names or (self.at_home and host_is_known(name))


def host_name(host: str) -> str:
    """The name in a Host header, without the port."""
    name, colon, port = host.rpartition(":")
    return name if colon and port.isascii() and port.isdecimal() else host
