"""Under which address a page's links are of use to another device."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.web.hosts import is_loopback_name

if TYPE_CHECKING:
    from fastapi import Request


def base_of(request: Request) -> str:
    """The service's address as other devices know it, without a slash at the end.

    Whoever asks from another device has it already; on Steading's own machine it is the first of those that
    the service told when it started (`app.state.reached_at`), if it told any.
    """
    told: tuple[str, ...] = getattr(request.app.state, "reached_at", ())
    if told and is_loopback_name(request.url.hostname or ""):
        return told[0].rstrip("/")
    return f"{request.url.scheme}://{request.url.netloc}"
