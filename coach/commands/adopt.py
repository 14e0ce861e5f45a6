"""`coach adopt`: a household's file becomes the household of a database at home."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from coach.coaching import bringing
from coach.commands.arguments import add_database, add_lessons, add_today, command
from coach.commands.data import opened, say_kept, settings_of
from coach.errors import Malformed
from coach.household import adopting
from coach.household.home_file import PACKED
from coach.household.home_file_reading import LONGEST_FILE
from coach.progress.days import date_of
from coach.web.callers import HOUSEHOLD

if TYPE_CHECKING:
    import argparse
    from datetime import date

    from coach.commands.arguments import Parsers
    from coach.ground.ports import Household


def register(parsers: Parsers) -> None:
    """Add the command."""
    parser = command(
        parsers, "adopt", _adopt, "Make a home of the file that a household took along, all or nothing."
    )
    parser.add_argument(
        "file", metavar="FILE", type=Path, help="the ZIP of the page Leave, or of `coach export --whole`"
    )
    parser.add_argument(
        "--replace",
        action="store_true",
        help="take the place of a household that is there already; it is kept first",
    )
    for add in (add_database, add_lessons, add_today):
        add(parser)


def _adopt(arguments: argparse.Namespace) -> int:
    content = _content(arguments.file)
    pretend = settings_of(arguments).today

    def today(home: Household) -> date:
        return pretend or date_of(datetime.now(UTC), home.zone, home.day_starts)

    # Opening a database makes one where there is none, and of a bad file nothing is to be left.
    adopting.checked_by(today, HOUSEHOLD, content)
    with opened(arguments) as context:

        def bring(packed: bytes) -> str:
            return bringing.bring(context, packed, PACKED).name

        found = adopting.adopt(context, HOUSEHOLD, content, instead=arguments.replace, bring=bring)
    names = "1 person" if found.people == 1 else f"{found.people} people"
    print(
        f"The household is here: {found.rows} rows of the log since {found.first}, {found.plan} of the plan."
    )
    if found.people:
        print(f"{names} came along by name; `coach serve --home` shows a code with which each pairs a phone.")
    say_kept(found.kept)
    return 0


def _content(file: Path) -> bytes:
    """What the file holds, read no further than it may go.

    Raises:
        Malformed: It cannot be read, or is too long.
    """
    try:
        with file.open("rb") as source:
            content = source.read(LONGEST_FILE + 1)
    except OSError as error:
        raise Malformed(f"{file} cannot be read: {error.strerror}.") from error
    return content
