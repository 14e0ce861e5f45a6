"""Whether passkeys can be had at the address a page is asked under, and for which name."""

from __future__ import annotations

from typing import TYPE_CHECKING
from urllib.parse import urlsplit

from coach.errors import NotEditable
from coach.household.ceremonies import RelyingParty
from coach.machine.addresses import FULL_NAME, LOCAL_NAME
from coach.web.hosts import host_name

if TYPE_CHECKING:
    from fastapi import Request

    from coach.web.network import Network

HTTPS = 443
ALONE = "Steading answers this machine alone here, and asks nobody to sign in: a passkey would open nothing."
NOT_SAFE = (
    "Browsers make and use passkeys over an encrypted connection alone. Whoever runs Steading starts it with "
    "coach serve --home --tls for that."
)
NO_NAME = "A passkey is bound to a name, and this address has none. Open {address} instead."
NOT_SECURE = (
    "Browsers make and use passkeys over an encrypted connection alone, and this service is known by an "
    "address that begins with http. Whoever runs it gives it one that begins with https."
)


def why_not(request: Request) -> str:
    """Why no passkey can be made or used here, and what to do; empty: one can."""
    state = request.app.state
    if state.way == "alone":
        return ALONE
    if state.way == "home":
        return _at_home(request, state.network)
    return "" if _is_secure(state.public_url or "") else NOT_SECURE


def _at_home(request: Request, network: Network | None) -> str:
    if network is None or network.tls is None:
        return NOT_SAFE
    if _party_at_home(request, network) is not None:
        return ""
    return NO_NAME.format(address=network.secure(LOCAL_NAME))


def _is_secure(address: str) -> bool:
    """Whether a browser takes an address for secure: https, or a name that only its own machine has."""
    found = urlsplit(address)
    host = found.hostname or ""
    return found.scheme == "https" or host == "localhost" or host.endswith(".localhost")


def party_of(request: Request) -> RelyingParty:
    """For whom a device signs here.

    Raises:
        NotEditable: Passkeys are not to be had at this address; it says why.
    """
    if reason := why_not(request):
        raise NotEditable(reason)
    state = request.app.state
    if state.way == "home":
        found = _party_at_home(request, state.network)
        if found is not None:
            return found
    return RelyingParty(urlsplit(state.public_url).hostname or "", (state.public_url,))


def _party_at_home(request: Request, network: Network) -> RelyingParty | None:
    """A home has two names: a passkey that was made under one is not found under the other."""
    name = host_name(request.url.netloc).lower()
    if request.url.scheme != "https" or name not in {FULL_NAME, LOCAL_NAME}:
        return None
    origin = f"https://{name}" if network.tls_port == HTTPS else network.secure(name)
    return RelyingParty(name, (origin,))
