"""Which addresses are open to whom: to everybody, to members, to keepers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.web.addresses import route_at

if TYPE_CHECKING:
    from starlette.types import Scope

OPEN = frozenset({"/pair", "/api/pair", "/api/enrol", "/trust", "/manifest.webmanifest", "/sw.js"})
"""What somebody needs who was not let in yet; nothing of any household stands there."""

OPEN_FOLDERS = ("/static/", "/trust/", "/problems/")

KEEPERS_PAGES = ("/settings", "/data", "/rescue", "/people")
"""Pages with everything below them that only a keeper opens."""

KEEPERS = frozenset(
    {
        ("PUT", "/api/pace"),
        ("POST", "/api/log.csv"),
        ("PUT", "/api/log.csv"),
        ("POST", "/api/start"),
        ("POST", "/start"),
    }
)
"""Other changes that only a keeper makes, by method and route."""


def is_open(path: str) -> bool:
    """Whether an address is open to everybody in the home network."""
    return path in OPEN or path.startswith(OPEN_FOLDERS)


def is_for_keepers(scope: Scope) -> bool:
    """Whether a request asks for what only a keeper does."""
    path = scope["path"]
    if any(path == page or path.startswith(f"{page}/") for page in KEEPERS_PAGES):
        return True
    return (scope["method"], route_at(scope)) in KEEPERS
