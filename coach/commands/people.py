"""`coach invite` and `coach people`: who comes into a service of many households, and who is there."""

from __future__ import annotations

import json
import sys
from contextlib import contextmanager
from dataclasses import asdict, replace
from typing import TYPE_CHECKING

from coach.commands.arguments import add_database, command
from coach.commands.data import opened
from coach.errors import Malformed
from coach.household import everybody as service
from coach.household import inviting
from coach.household.codes import DAYS
from coach.settings import read_settings
from coach.store.opening import open_existing, open_store

if TYPE_CHECKING:
    import argparse
    from collections.abc import Iterator

    from coach.commands.arguments import Parsers
    from coach.ground.ports import Context
    from coach.household.everybody import Whoever

NO_ADDRESS = (
    "A link needs the address under which people find Steading. Name it with --public-url, or set "
    "COACH_PUBLIC_URL."
)


def register(parsers: Parsers) -> None:
    """Add the commands."""
    about = "Print a link that lets in a coach, or begins a household, where many are hosted."
    invite = command(parsers, "invite", _invite, about)
    whom = invite.add_mutually_exclusive_group(required=True)
    whom.add_argument("--coach", metavar="NAME", help="somebody who is to coach groups")
    whom.add_argument("--household", metavar="NAME", help="a new household that is in no group")
    invite.add_argument("--public-url", metavar="URL", help="the address that people open, https://…")
    people = command(parsers, "people", _people, "List everybody, with their households, groups and devices.")
    people.add_argument("--end", metavar="PERSON", help="end every device and token of the one of that key")
    people.add_argument("--json", action="store_true", help="print one JSON object instead of lines")
    for parser in (invite, people):
        add_database(parser)


@contextmanager
def _hosted(arguments: argparse.Namespace, *, make: bool = False) -> Iterator[Context]:
    with opened(arguments, open_store if make else open_existing) as context:
        yield replace(context, most_homes=None)


def _invite(arguments: argparse.Namespace) -> int:
    named = {"public_url": arguments.public_url} if arguments.public_url else {}
    base = read_settings(**named).public_url
    if base is None:
        raise Malformed(NO_ADDRESS)
    with _hosted(arguments, make=True) as context:
        if arguments.coach is not None:
            made = inviting.invite_coach(context, arguments.coach)
        else:
            made = inviting.invite_home(context, arguments.household)
    print(base + made.link)
    print(f"It can be used once, within {DAYS} days. Whoever has the link comes in: hand it to nobody else.")
    return 0


def _people(arguments: argparse.Namespace) -> int:
    with _hosted(arguments) as context:
        if arguments.end is not None:
            ended = service.end_sessions(context, arguments.end)
            said = "1 device or token was" if ended == 1 else f"{ended} devices and tokens were"
            print(f"{said} ended.", file=sys.stderr if arguments.json else sys.stdout)
        found = service.everybody(context).people
    if arguments.json:
        print(json.dumps({"people": [asdict(one) for one in found]}, ensure_ascii=False, default=str))
    elif arguments.end is None:
        for line in (line for one in found for line in _lines(one)):
            print(line)
    return 0


def _lines(one: Whoever) -> Iterator[str]:
    seen = f", last seen {one.last_seen:%Y-%m-%d %H:%M} UTC" if one.last_seen else ""
    devices = "1 device" if len(one.devices) == 1 else f"{len(one.devices)} devices"
    yield f"{one.name} ({one.person}): {devices}{seen}"
    for home in one.homes:
        yield f"    {home.role} of {home.name} ({home.household})"
    if one.coaches:
        yield f"    coach of {', '.join(one.groups) or 'no group yet'}"
