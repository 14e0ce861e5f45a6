"""Checks of the network: the port, the private addresses, and where the service's names lead."""

from __future__ import annotations

import errno
import http.client
import json
import socket
import ssl
import threading
from contextlib import suppress
from typing import TYPE_CHECKING, Any

from zeroconf import Error as ZeroconfError

from coach.machine.addresses import FULL_NAME, LOCAL_NAME, offered
from coach.machine.announcing import answers, speaker
from coach.machine.findings import Told
from coach.machine.holder import holder_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from coach.machine.addresses import Address

ASK_SECONDS = 3
"""How long a check waits for a port or for the network's list of names."""

OURSELVES = "127.0.0.1"

_KINDS = ("ok", "degraded", "failing")
_PORT, _ADDRESSES, _NAMES = "port", "addresses", "names"


def port(host: str, number: int) -> Iterator[Told]:
    """Whether the service could listen, or who does it already: a Steading, or another program."""
    hinders = _hinders(host, number)
    if hinders is None:
        yield Told(_PORT, f"Port {number} is free.")
        return
    if hinders.errno != errno.EADDRINUSE:
        yield Told(
            _PORT,
            f"Port {number} on {host} cannot be used: {hinders.strerror}.",
            "Choose another port or address; ports below 1024 often need a right of their own.",
        )
        return
    health = health_at(host, number)
    if health is None:
        yield Told(
            _PORT,
            f"Another program has port {number}{holder_of(number)}.",
            "End it, or start Steading with another --port.",
        )
    else:
        yield from _of_health(number, health)


def _hinders(host: str, number: int) -> OSError | None:
    """Why nobody can listen there; None if one can."""
    host = host.strip("[]")
    try:
        family = socket.getaddrinfo(host, number, type=socket.SOCK_STREAM)[0][0]
        socket.create_server((host, number), family=family).close()
    except OSError as error:
        return error
    return None


def _of_health(number: int, health: dict[str, Any]) -> Iterator[Told]:
    said = f"A Steading answers on port {number}"
    if health["status"] == "ok":
        yield Told(_PORT, f"{said}, and all is well with it.")
        return
    for finding in health.get("findings") or [{"text": f"It says that it is {health['status']}."}]:
        yield Told(_PORT, f"{said} and says: {finding.get('text', '')}", "Look at its page /rescue.")


def health_at(host: str, number: int) -> dict[str, Any] | None:
    """What a Steading on a port says of itself, with TLS or without; None if there is none."""
    for secure in (False, True):
        with suppress(OSError, http.client.HTTPException, ValueError):
            if (found := _asked(host.strip("[]"), number, secure=secure)) is not None:
                return found
    return None


def _asked(host: str, number: int, *, secure: bool) -> dict[str, Any] | None:
    if secure:
        # It is asked whether it is there and nothing else, and is given nothing.
        context = ssl._create_unverified_context()  # noqa: S323, SLF001
        asking: http.client.HTTPConnection = http.client.HTTPSConnection(
            host, number, timeout=ASK_SECONDS, context=context
        )
    else:
        asking = http.client.HTTPConnection(host, number, timeout=ASK_SECONDS)
    try:
        asking.request("GET", "/healthz")
        found = json.loads(asking.getresponse().read(65536))
    finally:
        asking.close()
    return found if isinstance(found, dict) and found.get("status") in _KINDS else None


def addresses(found: Sequence[Address]) -> Iterator[Told]:
    """Whether a phone at home could reach this machine at all."""
    real = [one for one in found if one.fits_a_browser and not one.is_virtual]
    if real:
        named = ", ".join(f"{one.host} ({one.adapter})" for one in real)
        yield Told(_ADDRESSES, f"Phones in the home's network reach this machine at {named}.")
        return
    only = ", ".join(f"{one.host} ({one.adapter})" for one in offered(found))
    text = f"Its only private addresses lead elsewhere: {only}." if only else "It has no private address."
    yield Told(_ADDRESSES, text, "To let phones in, connect this machine to the home's network.")


def names(found: Sequence[Address], number: int) -> Iterator[Told]:
    """Where the service's two names lead at present."""
    ours = {str(one.ip) for one in found}
    if not offered(found):
        return
    yield from _by_multicast(found, ours, number)
    best = offered(found)[0].ip
    known = looked_up(FULL_NAME)
    if others := known - ours:
        yield Told(
            _NAMES,
            f"{FULL_NAME} leads to {_listed(others)}, which is not this machine.",
            f"Give it the address {best} in your router's list of names.",
        )
    elif known:
        yield Told(_NAMES, f"{FULL_NAME} leads to this machine.")
    else:
        text = f"{FULL_NAME} is in no list of the network; your router's may lead it to {best}."
        yield Told(_NAMES, text)


def _by_multicast(found: Sequence[Address], ours: set[str], number: int) -> Iterator[Told]:
    try:
        with speaker(offered(found)) as voice:
            heard = set(answers(voice))
    except (OSError, RuntimeError, ZeroconfError):
        heard = set()
    if others := heard - ours:
        yield Told(
            _NAMES,
            f"{LOCAL_NAME} leads to {_listed(others)}, which is another machine.",
            "End the Steading there, or use this machine's address.",
        )
    elif heard:
        yield Told(_NAMES, f"{LOCAL_NAME} leads to this machine.")
    elif health_at(OURSELVES, number) is not None and is_reached(str(offered(found)[0].ip), number):
        yield Told(
            _NAMES,
            f"Steading answers in the network, and nothing says where {LOCAL_NAME} is.",
            "Use the address; or look whether a firewall keeps UDP port 5353 shut.",
        )
    else:
        yield Told(_NAMES, f"{LOCAL_NAME} is not announced now; `coach serve --home` does that.")


def is_reached(host: str, number: int) -> bool:
    """Whether anything listens on a port of an address; what it says there is for those who are paired."""
    with suppress(OSError), socket.create_connection((host, number), ASK_SECONDS):
        return True
    return False


def _listed(found: Iterable[str]) -> str:
    return ", ".join(sorted(found))


def looked_up(name: str) -> set[str]:
    """The addresses that the system finds for a name, as far as it finds them soon."""
    found: set[str] = set()

    def ask() -> None:
        with suppress(OSError):
            found.update(str(one[4][0]) for one in socket.getaddrinfo(name, None))

    # The system may take half a minute over a network that does not answer, and cannot be interrupted.
    asking = threading.Thread(target=ask, daemon=True)
    asking.start()
    asking.join(ASK_SECONDS)
    return set(found)
