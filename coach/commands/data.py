"""`coach export`, `import`, `backup` and `restore`: a household's data out of the database and back."""

from __future__ import annotations

import sys
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from coach.coaching.library import FolderLibrary
from coach.commands.arguments import (
    STANDARD_STREAM,
    add_database,
    add_force,
    add_lessons,
    add_today,
    check_free,
    command,
)
from coach.commands.replay import read_bytes
from coach.errors import Malformed
from coach.ground.ports import Context
from coach.household import data
from coach.household.kept_log import PLACE
from coach.settings import Settings, read_settings
from coach.store.backup import backup, restore
from coach.store.copies import copies_of
from coach.store.engine import read_url
from coach.store.files import side_files, write_whole
from coach.store.opening import open_existing, open_store
from coach.web.deps import HOUSEHOLD

if TYPE_CHECKING:
    import argparse
    from collections.abc import Callable, Iterator

    from coach.commands.arguments import Parsers
    from coach.ground.ports import Kept
    from coach.store.households import SqlStore


def register(parsers: Parsers) -> None:
    """Add the commands."""
    export = command(parsers, "export", _export, "Write the household's log as CSV.")
    export.add_argument(
        "file", metavar="FILE", nargs="?", default=STANDARD_STREAM, help="where to (default: the output)"
    )
    take_in = command(
        parsers, "import", _import, "Replace the household's log by a CSV file, all or nothing."
    )
    take_in.add_argument("file", metavar="FILE", help="a file that export wrote (- reads the input)")
    copy = command(parsers, "backup", _backup, "Copy the database to a file, also while Steading runs.")
    copy.add_argument("file", metavar="FILE", type=Path, help="the file to write")
    back = command(parsers, "restore", _restore, "Replace the database by a backup, after checking it.")
    back.add_argument("file", metavar="FILE", type=Path, help="a file that backup wrote")
    for parser in (export, take_in, copy, back):
        add_database(parser)
    for parser in (export, copy):
        add_force(parser)
    for parser in (export, take_in):
        add_lessons(parser)
        add_today(parser)


@contextmanager
def opened(
    arguments: argparse.Namespace, open_it: Callable[[str], SqlStore] = open_store
) -> Iterator[Context]:
    """The store and the lessons the settings name, as `coach serve` would open them."""
    settings = _settings(arguments)
    library = FolderLibrary(settings.lessons)
    course = library.chosen(settings.course)
    store = open_it(settings.database)
    try:
        copies = copies_of(settings.database)
        yield Context(store, library, lambda: datetime.now(UTC), settings.today, course, copies)
    finally:
        store.close()


def _settings(arguments: argparse.Namespace) -> Settings:
    """The settings: arguments before the environment before what holds otherwise."""
    named = {key: getattr(arguments, key, None) for key in ("database", "lessons", "today")}
    return read_settings(**{key: value for key, value in named.items() if value is not None})


def _export(arguments: argparse.Namespace) -> int:
    file = None if arguments.file == STANDARD_STREAM else Path(arguments.file)
    if file is not None:
        check_free(file, force=arguments.force)
        _refuse_database(file, _settings(arguments).database)
    with opened(arguments, open_existing) as context:
        text = data.export(context, HOUSEHOLD)
    if file is None:
        sys.stdout.write(text.replace("\r\n", "\n"))
    else:
        write_whole(file, text.encode())
    return 0


def _refuse_database(file: Path, url: str) -> None:
    """Refuse to write a log over the database, or over a file that SQLite keeps beside it."""
    database = read_url(url).database if url.startswith("sqlite") else None
    if database is None:
        return
    kept = Path(database).resolve()
    if file.resolve() in {kept, *side_files(kept)}:
        raise Malformed(f"{file} is the database itself. Name another file for the log.")


def _import(arguments: argparse.Namespace) -> int:
    log = read_bytes(arguments.file)
    with opened(arguments) as context:
        brought = data.bring_in(context, HOUSEHOLD, log, Path(arguments.file).name)
    imported = brought.imported
    print(f"{imported.rows} rows from {imported.first} to {imported.last} are the household's log now.")
    if imported.later:
        print(f"{imported.later} of them are dated after today and take effect when their dates come.")
    _say_kept(brought.kept)
    return 0


def _backup(arguments: argparse.Namespace) -> int:
    check_free(arguments.file, force=arguments.force)
    backup(_settings(arguments).database, arguments.file)
    print(f"The database is copied to {arguments.file}.")
    return 0


def _restore(arguments: argparse.Namespace) -> int:
    url = _settings(arguments).database
    copies = copies_of(url)
    if copies is None:
        # It says which tools the server has for this.
        restore(url, arguments.file)
        return 0
    kept = copies.restore(arguments.file)
    print(f"The database is as it was in {arguments.file}.")
    _say_kept(kept)
    return 0


def _say_kept(kept: Kept | None) -> None:
    """Say where what was there before is, if there was anything."""
    if kept is None:
        return
    back = "the page Data" if kept.place == PLACE else f"`coach restore {kept.place}`"
    print(f"What was there before is kept in {kept.place}; {back} puts it back.")
