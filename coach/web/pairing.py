"""The page that pairs a device: what somebody sees who was not let in yet, and nothing of any household."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.web import rendering
from coach.web.callers import caller_of
from coach.web.pages.once import new_request_id
from coach.web.reach import has_trust

if TYPE_CHECKING:
    from fastapi import Request
    from fastapi.responses import HTMLResponse

    from coach.household.people_answers import Names

PAIR = "/pair"
DEVICES = ("Phone", "Tablet", "Computer")
"""What a device is called at first; it can be called something else later."""


def pairing_page(
    request: Request,
    status: int = 200,
    trouble: str = "",
    code: str = "",
    request_id: str = "",
    names: Names | None = None,
) -> HTMLResponse:
    """The page.

    Args:
        request: What is answered.
        status: The answer's status.
        trouble: What went wrong.
        code: The code as it was typed.
        request_id: The name of the form that sent it; none: a new one.
        names: Whom one can say one is, once the code fits; none: the code is asked for.
    """
    caller = caller_of(request.scope)
    values = {
        "navigation": False,
        "trouble": trouble,
        "code": code,
        "request_id": request_id or new_request_id(),
        "names": names,
        "devices": DEVICES,
        "device": device_of(request),
        "is_hosted": request.app.state.way == "hosted",
        "caller": caller,
        "is_open_to_reading": request.url.scheme == "http" and request.app.state.way != "alone",
        "has_trust": has_trust(request),
    }
    headers = {"WWW-Authenticate": "Bearer"} if status == 401 else None  # noqa: PLR2004  as HTTP numbers it
    return rendering.page(request, "people/pair.html", values, status, headers)


def device_of(request: Request) -> str:
    """What the browser seems to run on, by what it says of itself."""
    said = request.headers.get("user-agent", "")
    if "iPad" in said or "Tablet" in said or ("Android" in said and "Mobile" not in said):
        return "Tablet"
    is_phone = request.headers.get("sec-ch-ua-mobile") == "?1" or "Mobi" in said
    return "Phone" if is_phone else "Computer"
