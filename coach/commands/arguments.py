"""The parser that says what is wrong in one line, and the arguments that several commands share."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

from coach.course import digits
from coach.errors import Malformed
from coach.progress.days import iso_date

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from datetime import date

    Parsers = argparse._SubParsersAction[Any]  # noqa: SLF001  argparse has no public name for it

BAD_ARGUMENTS = 2
STANDARD_STREAM = "-"


class Parser(argparse.ArgumentParser):
    """A parser whose complaint is one line in our own words that names the way to the help.

    Attributes:
        hands_on: Where what belongs to another command is kept; without it, that is refused.
    """

    hands_on: str | None = None

    def __init__(self, **named: Any) -> None:  # noqa: ANN401  what argparse takes
        # An option cut short would mean another one as soon as there are two that begin so.
        super().__init__(**named, allow_abbrev=False)

    def error(self, message: str) -> NoReturn:
        """Say what is wrong and end with status 2."""
        self.exit(BAD_ARGUMENTS, f"{self.prog}: {self._in_our_words(message)} (see {self.prog} --help)\n")

    def parse_known_args(  # type: ignore[override]  # argparse has overloads for other namespaces
        self, args: Sequence[str] | None = None, namespace: argparse.Namespace | None = None
    ) -> tuple[argparse.Namespace, list[str]]:
        """Parse, and refuse what is left over where it stands, so that the command at fault is named."""
        if self.hands_on is not None and args is not None:
            own = [one for one in args if one in self._option_string_actions]
            parsed, left = super().parse_known_args(own, namespace)
            setattr(parsed, self.hands_on, [one for one in args if one not in own])
            return parsed, left
        parsed, left = super().parse_known_args(args, namespace)
        if left:
            self.error(self._too_much(left[0]))
        return parsed, left

    def _check_value(self, action: argparse.Action, value: object) -> None:
        """Refuse what is none of the choices; argparse asks for this under this name."""
        if action.choices is not None and value not in action.choices:
            told = f"there is no “{value}”; use {_wanted(action)}"
            raise argparse.ArgumentError(action, told)

    def _too_much(self, left: str) -> str:
        if left.startswith("-") and left != STANDARD_STREAM:
            options = [action.option_strings[-1] for action in self._actions if action.option_strings]
            return f"there is no option “{left.partition('=')[0]}”; use one of {', '.join(options)}"
        places = [_name(action) for action in self._actions if not action.option_strings]
        return f"“{left}” is one argument too many; give {' '.join(places) or 'options'} alone"

    def _in_our_words(self, message: str) -> str:
        """What argparse says in its own words, said in ours; what we said ourselves stays."""
        said = message.removeprefix("argument ")
        name, _, rest = said.partition(": ")
        if name == "the following arguments are required":
            missing = [action for action in self._actions if _name(action) in rest.split(", ")]
            return "; ".join(f"{_name(action)} is missing: {_wanted(action)}" for action in missing)
        wanted = next((_wanted(action) for action in self._actions if _name(action) == name), "")
        if rest.startswith("expected"):
            return f"{name} needs a value: {wanted}"
        if rest.startswith("ignored explicit argument"):
            return f"{name} takes no value; leave out the equals sign and what follows"
        return said


def _name(action: argparse.Action) -> str:
    """The name under which argparse speaks of an argument."""
    return "/".join(action.option_strings) or str(action.metavar)


def _wanted(action: argparse.Action) -> str:
    """What an argument is for, or what it can be."""
    if action.choices is not None:
        return f"one of {', '.join(map(str, action.choices))}"
    return str(action.help)


def command(
    parsers: Parsers, name: str, run: Callable[[argparse.Namespace], int], about: str
) -> argparse.ArgumentParser:
    """A parser for one command, with the function that runs it and gives the exit status."""
    parser: argparse.ArgumentParser = parsers.add_parser(name, help=about, description=about)
    parser.set_defaults(run=run)
    return parser


def a_date(text: str) -> date:
    """A date argument, YYYY-MM-DD."""
    try:
        return iso_date(text)
    except Malformed as error:
        raise argparse.ArgumentTypeError(str(error)) from None


def whole_number(least: int, most: int) -> Callable[[str], int]:
    """A whole number argument between two others, both included."""

    def number(text: str) -> int:
        found = digits.whole_number(text, most)
        if found is None or found < least:
            raise argparse.ArgumentTypeError(f"it needs a whole number from {least} to {most}, not “{text}”")
        return found

    return number


def add_database(parser: argparse.ArgumentParser) -> None:
    """The argument that names the database."""
    parser.add_argument(
        "--database",
        metavar="URL",
        help="sqlite:///FILE or postgresql://... (default: a file in your data folder)",
    )


def add_force(parser: argparse.ArgumentParser) -> None:
    """The argument that lets a file be replaced."""
    parser.add_argument("--force", action="store_true", help="replace the file if it is there already")


def check_free(file: Path, *, force: bool) -> None:
    """Refuse a file that is there already, unless it may be replaced.

    Raises:
        Malformed: It is there.
    """
    if file.is_file() and not force:
        raise Malformed(
            f"{file} is there already and was left as it is. Name another file, or replace it with --force."
        )


def add_lessons(parser: argparse.ArgumentParser) -> None:
    """The argument that names the lessons."""
    parser.add_argument(
        "--lessons",
        metavar="FOLDER",
        type=Path,
        help="a folder of lessons, or one course (default: the lessons that come with Steading)",
    )


def add_today(parser: argparse.ArgumentParser) -> None:
    """The argument that tries another day."""
    parser.add_argument("--today", metavar="DATE", type=a_date, help="another day to try, YYYY-MM-DD")


def counted(number: int, noun: str) -> str:
    """How many of something there are, in words."""
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"
