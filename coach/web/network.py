"""Where the phones of the home network find the service, and what keeps that up to date while it runs."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

from coach.machine.addresses import LOCAL_NAME, host_is_loopback, offered, private_addresses
from coach.web.security import host_name

if TYPE_CHECKING:
    from starlette.requests import Request

    from coach.machine.addresses import Address
    from coach.machine.announcing import Announcing
    from coach.machine.tls import HouseholdTls


class Network:
    """The home network as it is now.

    Args:
        port: Where plain http is spoken.
        found: The machine's private addresses.
        tls: What TLS is spoken with; none: it is not.
        tls_port: Where it is spoken.
        announcing: What tells the network where `steading.local` is; none: nothing does.

    Attributes:
        found: The machine's private addresses, as they were last looked at.
    """

    def __init__(
        self,
        port: int,
        found: tuple[Address, ...],
        *,
        tls: HouseholdTls | None = None,
        tls_port: int = 0,
        announcing: Announcing | None = None,
    ) -> None:
        self.port = port
        self.found = found
        self.tls = tls
        self.tls_port = tls_port
        self._announcing = announcing

    @property
    def hosts(self) -> tuple[str, ...]:
        """The addresses to give to a phone, the best first, as they stand in an address line."""
        return tuple(one.host for one in offered(self.found))

    def plain(self, host: str) -> str:
        """The address of plain http on a host."""
        return f"http://{host}:{self.port}"

    def secure(self, host: str) -> str:
        """The address of https on a host."""
        return f"https://{host}:{self.tls_port}"

    @property
    def names(self) -> tuple[str, ...]:
        """Where a browser that trusts the certificate may go, the best first: a name outlasts an address."""
        return tuple(map(self.secure, (LOCAL_NAME, *self.hosts)))

    def begin(self) -> None:
        """Tell the network where the service is, if it was not told the same before."""
        if self._announcing is not None:
            self._announcing.start(self.found)

    def look(self) -> None:
        """Follow the machine's addresses, and renew the certificate when that is due.

        Raises:
            NotReady: The system does not tell its addresses, or the certificate cannot be written.
        """
        self.found = private_addresses()
        self.begin()
        if self.tls is not None:
            self.tls.renew(self.found, datetime.now(UTC))

    def end(self) -> None:
        """Take back what the network was told."""
        if self._announcing is not None:
            self._announcing.stop()


def link_for_phones(request: Request, code: str) -> str:
    """The link that lets a phone in, with the code where no log and no proxy sees it.

    A phone that does not trust the certificate yet can open plain http alone, and is told of it there.

    Args:
        request: Of whoever is to show the link.
        code: The pairing code.
    """
    network: Network | None = request.app.state.network
    page = "/pair" if network is None or network.tls is None else "/trust"
    return f"{_base(request, network)}{page}#{code}"


def _base(request: Request, network: Network | None) -> str:
    """Where the phone asks: as whoever shows the link does, unless that leads a phone nowhere."""
    asked = request.url
    own = f"{asked.scheme}://{asked.netloc}"
    if network is None or (asked.scheme == "http" and not host_is_loopback(host_name(asked.netloc))):
        return own
    return network.plain(network.hosts[0]) if network.hosts else own
