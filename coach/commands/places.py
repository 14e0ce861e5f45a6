"""`coach move` and `coach places`: which household lives in which database, and moving one."""

from __future__ import annotations

import json
from dataclasses import asdict, replace
from typing import TYPE_CHECKING

from coach.commands.arguments import add_database, add_lessons, command
from coach.commands.data import opened, settings_of
from coach.errors import Malformed, SteadingError
from coach.ground.memo import Memo
from coach.ground.situation import looking
from coach.progress.standing import replay_json
from coach.store.coordinator import statements
from coach.store.moving import Move
from coach.store.settled import databases_of
from coach.store.spread import SpreadStore

if TYPE_CHECKING:
    import argparse

    from coach.commands.arguments import Parsers
    from coach.ground.ports import Store

ONE = (
    "There is one database. Name others in COACH_DATABASES, "
    'as in {"second": "postgresql://steading@other/steading"}.'
)


def register(parsers: Parsers) -> None:
    """Add the commands."""
    move = command(parsers, "move", _move, "Move a household to another database, also while Steading runs.")
    move.add_argument("household", metavar="HOUSEHOLD", help="its key, as coach people lists it")
    move.add_argument("--to", metavar="NAME", required=True, help="the database's name in COACH_DATABASES")
    add_lessons(move)
    places = command(parsers, "places", _places, "List the databases and how many households are in each.")
    places.add_argument("--json", action="store_true", help="print one JSON object instead of lines")
    places.add_argument(
        "--coordinator",
        action="store_true",
        help="print the statements that make a database from which all counts can be read (for psql)",
    )
    for parser in (move, places):
        add_database(parser)


def _move(arguments: argparse.Namespace) -> int:
    with opened(arguments) as context:
        store = _spread(context.store)

        def stands(there: Store) -> object:
            try:
                with looking(replace(context, store=there, memo=Memo()), arguments.household) as where:
                    return replay_json(where.standing)
            except SteadingError as error:
                # What cannot be worked out stands the same where it cannot be for the same reason.
                return type(error)

        def same(one: Store, other: Store) -> bool:
            return stands(one) == stands(other)

        moved = Move(store, arguments.household, arguments.to, same).run()
    if moved.came_from == moved.place:
        print(f"{moved.household} lives in {moved.place}.")
    else:
        print(f"{moved.household} lives in {moved.place} now, with {moved.rows} rows from {moved.came_from}.")
    for name in moved.left_over:
        print(f"{name} could not be asked whether rows are left there. Give the command again when it runs.")
    return 0


def _places(arguments: argparse.Namespace) -> int:
    settings = settings_of(arguments)
    if arguments.coordinator:
        named = databases_of(settings)
        if not named.others:
            raise Malformed(ONE)
        print(statements(named))
        return 0
    with opened(arguments) as context:
        found = _spread(context.store).numbers()
    if arguments.json:
        print(json.dumps({"places": [asdict(one) for one in found]}, ensure_ascii=False))
    else:
        for one in found:
            print(f"{one.name}: {one.households} households{f'. {one.fault}' if one.fault else ''}")
    return 1 if any(one.fault for one in found) else 0


def _spread(store: object) -> SpreadStore:
    if not isinstance(store, SpreadStore):
        raise Malformed(ONE)
    return store
