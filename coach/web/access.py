"""Which addresses are open to whom: to everybody, to members, to keepers."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from starlette.types import Scope

OPEN = frozenset(
    {"/pair", "/api/pair", "/api/enrol", "/trust", "/manifest.webmanifest", "/sw.js", "/today/offline"}
)
"""What somebody needs who was not let in yet; nothing of any household stands there."""

FILES = "/static/"
"""Below it are stylesheets, scripts and type, the same for everybody."""

STOP = "/stop/"
"""Below it are the links that end somebody's messages: whoever has one needs nothing else."""

OPEN_FOLDERS = (FILES, STOP, "/trust/", "/problems/")

FEED = re.compile(r"/calendar/.*\.ics", re.DOTALL)
"""Where a calendar program fetches: its address is the key, and a wrong one finds nothing."""

KEEPERS_PAGES = ("/settings", "/data", "/rescue")
"""Pages with everything below them that only a keeper opens: settings, import, restore, backup, deletion."""

KEEPERS = frozenset(
    {
        ("PUT", "/api/pace"),
        ("POST", "/api/log.csv"),
        ("PUT", "/api/log.csv"),
        ("POST", "/api/start"),
        ("POST", "/start"),
        ("POST", "/api/invitations"),
        ("POST", "/devices/invitation"),
        ("POST", "/devices/codes/end"),
    }
)
"""Other changes that only a keeper makes, by method and address."""

KEEPERS_ENDS = ("/role", "/remove")
"""How the addresses of what only a keeper does to one of the people end, as in `/people/{person}/remove`."""

_OF_PEOPLE, _API_PEOPLE = "/people/", "/api/people/"


def is_open(path: str) -> bool:
    """Whether an address is open to everybody in the home network."""
    return path in OPEN or path.startswith(OPEN_FOLDERS) or FEED.fullmatch(path) is not None


def is_from_anywhere(method: str, path: str) -> bool:
    """Whether a request may come from any program, whatever page it was on: one tap ends messages (RFC 8058).

    What stands in its address proves that it is ours, and it does nothing else.
    """
    return method == "POST" and path.startswith(STOP) and "/" not in path.removeprefix(STOP)


def is_for_keepers(scope: Scope) -> bool:
    """Whether a request asks for what only a keeper does.

    What depends on whose it is, such as ending a device or a name, is refused where that is looked up.
    """
    method, path = scope["method"], scope["path"]
    if path.startswith(KEEPERS_PAGES) and any(
        path == page or path.startswith(f"{page}/") for page in KEEPERS_PAGES
    ):
        return True
    if path.startswith(_OF_PEOPLE):
        return bool(path.endswith(KEEPERS_ENDS))
    return (method, path) in KEEPERS or (method == "DELETE" and path.startswith(_API_PEOPLE))
