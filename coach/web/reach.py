"""Under which address a page's links are of use to another device."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.machine.addresses import host_is_loopback

if TYPE_CHECKING:
    from fastapi import Request

    from coach.web.network import Network


def base_of(request: Request) -> str:
    """The service's address as other devices know it, without a slash at the end.

    Whoever asks from another device has it already; on Steading's own machine it is the best of those that
    the home network has, if it has one.
    """
    network: Network | None = request.app.state.network
    if network is not None and network.hosts and host_is_loopback(request.url.hostname or ""):
        return network.plain(network.hosts[0])
    return f"{request.url.scheme}://{request.url.netloc}"
