"""The command line: `coach` with its commands; what cannot be done ends with status 2 and a plain line."""

from __future__ import annotations

import logging
import os
import sys
from importlib import import_module
from typing import TYPE_CHECKING

from coach.commands.arguments import BAD_ARGUMENTS, Parser
from coach.errors import FaultyFile, SteadingError

if TYPE_CHECKING:
    from collections.abc import Sequence

ABOUT = "Steading: one small household habit at a time, unlocked by what has held."


# Which module of `coach.commands` holds a command. Only the one asked for is loaded: the pages take much
# longer to load than a replay to run.
MODULES = {
    "serve": "serve",
    "demo": "serve",
    "replay": "replay",
    "course": "course",
    "adopt": "adopt",
    "export": "data",
    "import": "data",
    "backup": "data",
    "restore": "data",
    "calendar": "calendar",
    "rotation": "home",
    "thaw": "home",
    "send-due": "messages",
    "install-service": "service",
    "doctor": "doctor",
    "invite": "people",
    "people": "people",
    "sheet": "paper",
    "stops": "stops",
    "pace": "pace",
    "move": "places",
    "places": "places",
}


def parser(command: str | None = None) -> Parser:
    """The parser of all commands, or, where that is enough, of those beside the one named."""
    top = Parser(prog="coach", description=ABOUT)
    parsers = top.add_subparsers(title="commands", metavar="COMMAND", required=True, parser_class=Parser)
    names = dict.fromkeys([MODULES[command]] if command in MODULES else MODULES.values())
    for name in names:
        import_module(f"coach.commands.{name}").register(parsers)
    return top


def main(arguments: Sequence[str] | None = None) -> int:
    """Run a command and give its exit status."""
    logging.basicConfig(format="%(levelname)s: %(message)s", level=logging.WARNING)
    given = sys.argv[1:] if arguments is None else list(arguments)
    parsed = parser(given[0] if given else None).parse_args(given)
    try:
        status: int = parsed.run(parsed)
        sys.stdout.flush()
    except FaultyFile as error:
        for fault in error.faults:
            print(f"coach: {fault}", file=sys.stderr)
        if error.more:
            faults = "1 more fault" if error.more == 1 else f"{error.more} more faults"
            print(f"coach: and {faults}, {error.count} in all", file=sys.stderr)
        return BAD_ARGUMENTS
    except SteadingError as error:
        print(f"coach: {error}", file=sys.stderr)
        return BAD_ARGUMENTS
    except BrokenPipeError:
        # The reader of our output has gone, as with `| head`; Python would complain once more at the end.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1
    except KeyboardInterrupt:
        return 130
    return status


if __name__ == "__main__":
    sys.exit(main())
