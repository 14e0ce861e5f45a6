"""`coach export`, `import`, `backup` and `restore`: a household's data out of the database and back."""

from __future__ import annotations

import sys
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from coach.coaching.kept_library import kept_library
from coach.coaching.library import FolderLibrary
from coach.commands.arguments import (
    STANDARD_STREAM,
    add_database,
    add_force,
    add_lessons,
    add_today,
    check_free,
    command,
    whole_number,
)
from coach.commands.replay import read_bytes
from coach.errors import Malformed
from coach.ground.ports import Context
from coach.ground.wording import size_words
from coach.household import data, leaving
from coach.household.kept_log import PLACE
from coach.settings import Settings, read_settings
from coach.store.backup import backup, restore
from coach.store.copies import DATED, MOST_DATED, copies_of
from coach.store.engine import read_url
from coach.store.files import side_files, write_whole
from coach.store.migrations import revisions
from coach.store.opening import open_all, open_existing, open_store
from coach.store.results import check_file
from coach.store.settled import databases_of
from coach.web.callers import HOUSEHOLD

if TYPE_CHECKING:
    import argparse
    from collections.abc import Callable, Iterator, Mapping

    from coach.commands.arguments import Parsers
    from coach.ground.kept import Kept
    from coach.store.households import SqlStore


def register(parsers: Parsers) -> None:
    """Add the commands."""
    export = command(parsers, "export", _export, "Write the household's log as CSV.")
    export.add_argument(
        "file", metavar="FILE", nargs="?", default=STANDARD_STREAM, help="where to (default: the output)"
    )
    export.add_argument(
        "--whole",
        action="store_true",
        help="everything of the household as one ZIP for `coach adopt`: log, plan, course, settings, names",
    )
    take_in = command(
        parsers, "import", _import, "Replace the household's log by a CSV file, all or nothing."
    )
    take_in.add_argument("file", metavar="FILE", help="a file that export wrote (- reads the input)")
    copy = command(parsers, "backup", _backup, "Copy the database to a file, also while Steading runs.")
    copy.add_argument(
        "file",
        metavar="FILE",
        nargs="?",
        type=Path,
        help="the file to write (default: a dated one in the folder of copies beside the database)",
    )
    copy.add_argument(
        "--keep",
        metavar="N",
        type=whole_number(1, MOST_DATED),
        help=f"without FILE: how many dated copies stay (default: {DATED})",
    )
    copy.add_argument("--check", metavar="COPY", type=Path, help="check a copy instead of making one")
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
    arguments: argparse.Namespace, open_it: Callable[[str, int], SqlStore] = open_store
) -> Iterator[Context]:
    """The store and the lessons the settings name, as `coach serve` would open them."""
    settings = settings_of(arguments)
    folder = FolderLibrary(settings.lessons)
    course = folder.chosen(settings.course)
    named = databases_of(settings)
    store = open_all(named) if named.others else open_it(named.url, named.prepare_after)
    library = kept_library(folder, store, course, lambda: settings.today or datetime.now(UTC).date())
    try:
        copies = copies_of(settings.database)
        yield Context(store, library, lambda: datetime.now(UTC), settings.today, course, copies)
    finally:
        store.close()


def settings_of(arguments: argparse.Namespace) -> Settings:
    """The settings: arguments before the environment before what holds otherwise."""
    named = {key: getattr(arguments, key, None) for key in ("database", "lessons", "today")}
    return read_settings(**{key: value for key, value in named.items() if value is not None})


def _export(arguments: argparse.Namespace) -> int:
    file = None if arguments.file == STANDARD_STREAM else Path(arguments.file)
    if file is not None:
        check_free(file, force=arguments.force)
        refuse_database(file, arguments)
    if arguments.whole:
        return _export_whole(arguments, file)
    with opened(arguments, open_existing) as context:
        text = data.export(context, HOUSEHOLD)
    if file is None:
        sys.stdout.write(text.replace("\r\n", "\n"))
    else:
        write_whole(file, text.encode())
    return 0


def _export_whole(arguments: argparse.Namespace, file: Path | None) -> int:
    if file is None:
        raise Malformed("A ZIP does not go to the output. Name a file for it.")
    with opened(arguments, open_existing) as context:
        content = leaving.take_along(context, HOUSEHOLD)
    write_whole(file, content)
    print(f"Everything of the household is in {file}; `coach adopt {file}` makes a home of it elsewhere.")
    return 0


def refuse_database(file: Path, arguments: argparse.Namespace) -> None:
    """Refuse to write anything over the database, or over a file that SQLite keeps beside it.

    Raises:
        Malformed: It is one of them.
    """
    url = settings_of(arguments).database
    database = read_url(url).database if url.startswith("sqlite") else None
    if database is None:
        return
    kept = Path(database).resolve()
    if file.resolve() in {kept, *side_files(kept)}:
        raise Malformed(f"{file} is the database itself. Name another file.")


def _import(arguments: argparse.Namespace) -> int:
    log = read_bytes(arguments.file)
    with opened(arguments) as context:
        brought = data.bring_in(context, HOUSEHOLD, log, Path(arguments.file).name)
    imported = brought.imported
    print(f"{imported.rows} rows from {imported.first} to {imported.last} are the household's log now.")
    if imported.later:
        print(f"{imported.later} of them are dated after today and take effect when their dates come.")
    say_kept(brought.kept)
    return 0


def _backup(arguments: argparse.Namespace) -> int:
    file, keep, copy = arguments.file, arguments.keep, arguments.check
    if copy is not None:
        _refuse_together("--check", file is not None or keep is not None or arguments.force)
        return _check(copy)
    if file is None:
        _refuse_together("--force", arguments.force, "with FILE")
        return _backup_dated(arguments, DATED if keep is None else keep)
    _refuse_together("--keep", keep is not None, "without FILE")
    check_free(file, force=arguments.force)
    told = backup(settings_of(arguments).database, file)
    print(f"The database is copied to {file} and checked: {_rows(told.rows)}.")
    return 0


def _refuse_together(option: str, wrong: bool, where: str = "alone") -> None:  # noqa: FBT001  what was given
    if wrong:
        raise Malformed(f"{option} stands {where}. See `coach backup --help`.")


def _backup_dated(arguments: argparse.Namespace, most: int) -> int:
    url = settings_of(arguments).database
    copies = copies_of(url)
    if copies is None:
        # It says which tools the server has for this.
        backup(url, Path())
        return 0
    made = copies.dated(most)
    print(f"The database is copied to {made.place} and checked. Of such copies the last {most} stay.")
    return 0


def _check(copy: Path) -> int:
    """Say what a copy holds, and whether it could be brought back."""
    if copy.is_file():
        state = copy.stat()
        print(f"written: {datetime.fromtimestamp(state.st_mtime, UTC):%Y-%m-%d %H:%M:%S} UTC")
        print(f"size:    {size_words(state.st_size)}", flush=True)
    found = check_file(copy)
    version = f"{found.version} (the present one)" if found.version == revisions()[0] else found.version
    print(f"version: {version}")
    print(f"rows:    {_rows(found.rows)}")
    print("result:  whole, and can be brought back")
    return 0


def _rows(rows: Mapping[str, int]) -> str:
    """How many rows there are, and those of the log and of the plan by themselves."""
    return (
        f"{sum(rows.values())} rows, {rows.get('log', 0)} of the log, {rows.get('plan_log', 0)} of the plan"
    )


def _restore(arguments: argparse.Namespace) -> int:
    url = settings_of(arguments).database
    copies = copies_of(url)
    if copies is None:
        # It says which tools the server has for this.
        restore(url, arguments.file)
        return 0
    kept = copies.restore(arguments.file)
    print(f"The database is as it was in {arguments.file}.")
    say_kept(kept)
    return 0


def say_kept(kept: Kept | None) -> None:
    """Say where what was there before is, if there was anything."""
    if kept is None:
        return
    back = "the page Data" if kept.place == PLACE else f"`coach restore {kept.place}`"
    print(f"What was there before is kept in {kept.place}; {back} puts it back.")
