"""What `coach serve --home` adds: sockets for the home network, TLS, and what the terminal says first."""

from __future__ import annotations

import logging
import sys
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from coach.errors import Malformed
from coach.household.pairing import MINUTES, new_code
from coach.machine.addresses import LOCAL_NAME, is_loopback, is_private, private_addresses
from coach.machine.announcing import Announcing
from coach.machine.code_picture import terminal_picture
from coach.machine.tls import HouseholdTls
from coach.web import listening
from coach.web.callers import ALONE
from coach.web.network import Network
from coach.web.server import Secure

if TYPE_CHECKING:
    from collections.abc import Iterator
    from contextlib import ExitStack

    from coach.ground.ports import Context
    from coach.settings import Settings
    from coach.web.listening import HomeSocket

log = logging.getLogger("coach.events")


class Home:
    """A home network as it is served: what is listened on, and what is known of it.

    Args:
        settings: What was asked for.
        until: Closes the sockets.

    Attributes:
        sockets: Where plain http is spoken.
        secure: Where TLS is spoken; none: it is not.
        network: Where phones find it.

    Raises:
        Malformed: The host is none of a home.
        StoreError: A port cannot be used.
        NotReady: The certificate cannot be made or used, or the system does not tell its addresses.
    """

    def __init__(self, settings: Settings, until: ExitStack) -> None:
        hosts = _hosts(settings)
        self.sockets = _kept(listening.at_home(hosts, settings.port), until)
        port = _port(self.sockets)
        found = private_addresses()
        tls, tls_port = None, 0
        self.secure: Secure | None = None
        if settings.tls:
            tls = HouseholdTls(settings.tls_folder, found, datetime.now(UTC))
            sockets = _kept(listening.at_home(hosts, settings.tls_port, "--tls-port"), until)
            tls_port = _port(sockets)
            self.secure = Secure(sockets, tls.context)
        announcing = Announcing(port, _tell) if settings.announce else None
        self.network = Network(port, found, tls=tls, tls_port=tls_port, announcing=announcing)


def _hosts(settings: Settings) -> tuple[str, ...]:
    """Where to listen: on all addresses, since a router may give others any time, or on the one named."""
    if "host" not in settings.model_fields_set:
        return listening.EVERYWHERE
    host = settings.host.strip("[]")
    if is_loopback(host) or host == "localhost":
        return (settings.host,)
    if not is_private(host):
        raise Malformed(
            f"With --home Steading listens in your home network only, and {settings.host} is no address of "
            "one. Leave --host out, or name one of this machine's private addresses."
        )
    return (listening.LOOPBACK, settings.host)


def _kept(sockets: list[HomeSocket], until: ExitStack) -> list[HomeSocket]:
    for one in sockets:
        until.enter_context(one)
    return sockets


def _port(sockets: list[HomeSocket]) -> int:
    port: int = sockets[0].getsockname()[1]
    return port


def _tell(why: str) -> None:
    log.warning("%s", why, extra={"kind": "name"})


def told(network: Network, context: Context, own: str) -> Iterator[str]:
    """The lines that say how a phone gets in.

    A code is made for a terminal alone: anything else is a log, and codes never stand in logs.

    Args:
        network: Where phones find the service.
        context: Where codes are kept.
        own: The address for this machine's own browser.
    """
    yield from _addresses(network)
    if not network.hosts:
        yield "This machine has no address in a home network now. It is looked for every minute."
    elif not sys.stdout.isatty():
        yield f"For a code that lets a phone in, open {own}/devices on this machine."
    else:
        yield from _way_in(network, context, own)


def _addresses(network: Network) -> Iterator[str]:
    if network.hosts:
        here = " or ".join(f"{network.plain(host)}/" for host in (*network.hosts, LOCAL_NAME))
        yield f"In your home network it is at {here}"
    if network.tls is not None:
        authority = network.tls.authority
        there = " or ".join(f"{one}/" for one in network.names.values())
        yield f"With its certificate trusted, it is at {there}"
        yield f"The fingerprint (SHA-256) of the certificate, “{authority.name}”:"
        yield from (f"    {line}" for line in authority.fingerprint)


def _way_in(network: Network, context: Context, own: str) -> Iterator[str]:
    made = new_code(context, ALONE)
    base = network.plain(network.hosts[0])
    page = "/pair" if network.tls is None else "/trust"
    yield ""
    yield terminal_picture(f"{base}{page}#{made.code}")
    yield f"Point the phone's camera at the picture; or open {base}/pair and type {_in_halves(made.code)}."
    yield f"The code is good for one phone and {MINUTES} minutes; a new one: {own}/devices on this machine."


def _in_halves(code: str) -> str:
    """A code as it is easier to read."""
    half = len(code) // 2
    return f"{code[:half]} {code[half:]}"
