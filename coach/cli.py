"""The command line: `coach` with its commands; what cannot be done ends with status 2 and a plain line."""

from __future__ import annotations

import logging
import os
import sys
from typing import TYPE_CHECKING

from coach.commands import course, data, home, replay, serve
from coach.commands.arguments import BAD_ARGUMENTS, Parser
from coach.errors import FaultyFile, SteadingError

if TYPE_CHECKING:
    from collections.abc import Sequence

ABOUT = "Steading: one small household habit at a time, unlocked by what has held."


def parser() -> Parser:
    """The parser of all commands."""
    top = Parser(prog="coach", description=ABOUT)
    parsers = top.add_subparsers(title="commands", metavar="COMMAND", required=True, parser_class=Parser)
    for module in (serve, replay, course, data, home):
        module.register(parsers)
    return top


def main(arguments: Sequence[str] | None = None) -> int:
    """Run a command and give its exit status."""
    logging.basicConfig(format="%(levelname)s: %(message)s", level=logging.WARNING)
    parsed = parser().parse_args(arguments)
    try:
        status: int = parsed.run(parsed)
        sys.stdout.flush()
    except FaultyFile as error:
        for fault in error.faults:
            print(f"coach: {fault}", file=sys.stderr)
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
