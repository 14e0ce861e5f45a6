"""`coach install-service`: have Steading started with the machine, by the flags that `coach serve` takes."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from coach.commands import serve
from coach.commands.arguments import Parser
from coach.machine import unit
from coach.settings import set_outside

if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence

    from coach.commands.arguments import Parsers

ABOUT = "Have Steading started with this machine, as `coach serve` with the flags that follow."


def register(parsers: Parsers) -> None:
    """Add the command."""
    parser: Parser = parsers.add_parser("install-service", help=ABOUT, description=ABOUT)
    parser.set_defaults(run=_install)
    parser.add_argument("--print", action="store_true", help="write no file, print what would be in it")
    parser.add_argument("--replace", action="store_true", help="replace a file that says something else")
    parser.add_argument("flags", metavar="FLAG", nargs="*", help="the flags of `coach serve`, as given to it")
    parser.hands_on = "flags"


def _install(arguments: argparse.Namespace) -> int:
    _check(arguments.flags)
    command = (*unit.this_program(), "serve", *arguments.flags)
    text = unit.text_of(command, Path.cwd())
    if arguments.print:
        sys.stdout.write(text)
    elif unit.has_systemd():
        _say(unit.install(unit.place(), text, replace=arguments.replace))
    else:
        print(unit.elsewhere(command))
    return 0


def _check(flags: Sequence[str]) -> None:
    """Refuse what `coach serve` would refuse, in its words."""
    top = Parser(prog="coach")
    serve.register(top.add_subparsers(parser_class=Parser))
    top.parse_args(["serve", *flags])


def _say(was_there: bool) -> None:  # noqa: FBT001  what came of it
    print(f"{unit.place()} is written. Now type")
    if was_there:
        print("    systemctl --user daemon-reload")
        print("    systemctl --user restart steading")
    else:
        print("    systemctl --user enable --now steading")
        print("    loginctl enable-linger")
        print("The second has it run while nobody is signed in, from the start of the machine on.")
    if unseen := set_outside():
        print(
            f"The service does not see what is set here alone: {', '.join(unseen)}. Give the options that "
            "mean the same, or write Environment= lines into the file."
        )
