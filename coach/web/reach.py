"""Under which address a page's links are of use to another device."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.machine.addresses import host_is_loopback
from coach.web.hosts import host_name

if TYPE_CHECKING:
    from fastapi import Request

    from coach.web.network import Network

PAIR, TRUST = "/pair", "/trust"


def base_of(request: Request) -> str:
    """The service's address as other devices know it, without a slash at the end.

    Whoever asks from another device by plain http has it already. On Steading's own machine it is where the
    home network finds it now; and for whoever asks by https too, since a device that does not trust the
    certificate yet can open plain http alone.
    """
    public: str | None = request.app.state.public_url
    if request.app.state.way == "hosted" and public is not None:
        return public
    network: Network | None = request.app.state.network
    own = f"{request.url.scheme}://{request.url.netloc}"
    if network is None or not network.hosts:
        return own
    by_http = request.url.scheme == "http" and not host_is_loopback(host_name(request.url.netloc))
    return own if by_http else network.plain(network.hosts[0])


def link_of(request: Request, link: str) -> str:
    """The link of a code for a camera: where there is a certificate, by way of the page that tells of it."""
    return base_of(request) + (link.replace(PAIR, TRUST, 1) if has_trust(request) else link)


def has_trust(request: Request) -> bool:
    """Whether there is a certificate to trust, which `/trust` tells of."""
    return bool(fingerprint(request))


def fingerprint(request: Request) -> tuple[str, ...]:
    """The lines to compare before a device is told to trust the certificate; none where there is none."""
    network: Network | None = request.app.state.network
    return () if network is None or network.tls is None else network.tls.authority.fingerprint
