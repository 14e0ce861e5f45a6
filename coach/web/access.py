"""Which addresses are open to whom: to everybody, to members, to keepers."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from starlette.types import Scope

OPEN = frozenset(
    {
        "/pair",
        "/api/pair",
        "/enrol",
        "/api/enrol",
        "/sign-in",
        "/api/sign-in",
        "/api/sign-in/begin",
        "/api/sign-in/recovery",
        "/trust",
        "/manifest.webmanifest",
        "/sw.js",
        "/today/offline",
    }
)
"""What somebody needs who was not let in yet; nothing of any household stands there."""

FILES = "/static/"
"""Below it are stylesheets, scripts and type, the same for everybody."""

STOP = "/stop/"
"""Below it are the links that end somebody's messages: whoever has one needs nothing else."""

OPEN_FOLDERS = (FILES, STOP, "/trust/", "/problems/")

FEED = re.compile(r"/calendar/.*\.ics", re.DOTALL)
"""Where a calendar program fetches: its address is the key, and a wrong one finds nothing."""

KEEPERS_PAGES = ("/settings", "/data", "/rescue", "/leave", "/api/home")
"""What only a keeper opens, with everything below: settings, import, restore, backup, deletion, leaving."""

KEEPERS = frozenset(
    {
        ("PUT", "/api/pace"),
        ("POST", "/api/log.csv"),
        ("PUT", "/api/log.csv"),
        ("POST", "/api/start"),
        ("POST", "/start"),
        ("PUT", "/api/sharing"),
        ("DELETE", "/api/sharing"),
        ("POST", "/sharing"),
        ("POST", "/sharing/leave"),
        ("POST", "/api/invitations"),
        ("POST", "/devices/invitation"),
        ("POST", "/devices/codes/end"),
    }
)
"""Other changes that only a keeper makes, by method and address."""

KEEPERS_ENDS = ("/role", "/remove")
"""How the addresses of what only a keeper does to one of the people end, as in `/people/{person}/remove`."""

_OF_PEOPLE, _API_PEOPLE = "/people/", "/api/people/"


FOR_MANY = ("/enrol", "/homes", "/api/homes", "/groups", "/api/groups", "/api/courses")
"""Addresses with everything below them that are there only where many households are hosted."""

GROUPS = ("/groups", "/api/groups", "/api/courses")
"""Those of them that open to one who is let in as a coach, and to nobody else."""

NOBODYS_HOME = (
    "/homes",
    "/api/homes",
    "/devices",
    "/api/devices",
    "/sign-out",
    "/api/sign-out",
    "/api/invitations",
    "/passkeys",
    "/api/passkeys",
    "/recovery",
    "/api/recovery",
    "/healthz",
    "/openapi.json",
)
"""What one who is let in without a household may ask for beside groups: what is about themselves."""

ONE_HOUSE = ("/data/backup", "/data/restore", "/data/copies", "/rescue", "/trust")
"""What gives or takes the whole database, or shows the machine: closed where many households are in it."""


def is_below(path: str, places: tuple[str, ...]) -> bool:
    """Whether an address is one of some places, or stands below one."""
    return path.startswith(places) and any(path == place or path.startswith(f"{place}/") for place in places)


def is_for_many(path: str) -> bool:
    """Whether an address is there only where many households are hosted."""
    return is_below(path, FOR_MANY)


def is_of_groups(path: str) -> bool:
    """Whether an address is for coaches."""
    return is_below(path, GROUPS)


def is_of_nobodys_home(path: str) -> bool:
    """Whether an address is of use to one who belongs to no household."""
    return is_below(path, NOBODYS_HOME)


def is_closed_to_many(path: str) -> bool:
    """Whether an address is closed where many households are hosted."""
    return is_below(path, ONE_HOUSE)


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
    if is_below(path, KEEPERS_PAGES):
        return True
    if path.startswith(_OF_PEOPLE):
        return bool(path.endswith(KEEPERS_ENDS))
    return (method, path) in KEEPERS or (method == "DELETE" and path.startswith(_API_PEOPLE))
