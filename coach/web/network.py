"""Where the phones of the home network find the service, and what keeps that up to date while it runs."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

from coach.machine.addresses import LOCAL_NAME, offered, private_addresses

if TYPE_CHECKING:
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
    def names(self) -> dict[str, str]:
        """Where a browser that trusts the certificate may go, by host; a name outlasts an address."""
        return {host: self.secure(host) for host in (LOCAL_NAME, *self.hosts)}

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
