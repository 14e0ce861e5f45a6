"""Opening a store: the folder, the engine and the migrations in one call."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from coach.errors import StoreError
from coach.store.directory import CENTRAL
from coach.store.engine import PREPARE_AFTER, make_engine, read_url, ways
from coach.store.failures import database_name
from coach.store.filed import FileStore
from coach.store.files import clear_parts, make_private, narrow, side_files
from coach.store.households import SqlStore
from coach.store.migrations import has_tables, migrate
from coach.store.place import Place
from coach.store.spread import SpreadStore

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from sqlalchemy import URL, Engine


@dataclass(frozen=True, slots=True)
class Databases:
    """Where households live.

    Attributes:
        url: The database, or the central one of several.
        others: The others, by their names.
        new_homes: Those that new households go to; none: all.
        counted_from: Where the counts of some are asked instead.
        prepare_after: After how many uses a server prepares a statement; 0: never.
    """

    url: str
    others: Mapping[str, str] = field(default_factory=dict)
    new_homes: Sequence[str] = ()
    counted_from: Mapping[str, str] = field(default_factory=dict)
    prepare_after: int = PREPARE_AFTER


def open_all(databases: Databases) -> SqlStore | SpreadStore:
    """Open one database or several, each with its tables brought up to date.

    Of several, those that cannot be reached now are opened when they are first needed.

    Raises:
        StoreError: The only one or the central one cannot be opened, or one is named that there is not.
    """
    if not databases.others:
        return open_store(databases.url, databases.prepare_after)
    urls = {CENTRAL: databases.url, **databases.others}
    _check_names(databases, urls)
    engines = {name: make_engine(url, databases.prepare_after) for name, url in urls.items()}
    counted = {
        name: SpreadStore.counted(make_engine(url, databases.prepare_after), name)
        for name, url in databases.counted_from.items()
    }
    store = SpreadStore(engines, databases.new_homes, counted)
    try:
        store.at(CENTRAL)
    except BaseException:
        store.close()
        raise
    return store


def _check_names(databases: Databases, urls: Mapping[str, str]) -> None:
    for url in (*urls.values(), *databases.counted_from.values()):
        if read_url(url).get_backend_name() == "sqlite":
            raise StoreError("Households spread over several databases of PostgreSQL, and over no file.")
    for name in (*databases.new_homes, *databases.counted_from):
        if name not in urls:
            raise StoreError(f"There is no database “{name}” among {', '.join(urls)}.")


def open_store(url: str, prepare_after: int = PREPARE_AFTER) -> SqlStore:
    """Open the database at a URL, with its folder made and its tables brought up to date.

    Args:
        url: `sqlite:///FILE` or `postgresql://USER@HOST/NAME`.
        prepare_after: After how many uses a server prepares a statement; 0: never.

    Raises:
        StoreError: It cannot be opened, is no Steading database, or belongs to a newer version.
    """
    engine = make_engine(url, prepare_after)
    try:
        file = _make_folder(engine.url)
        migrate(engine)
    except BaseException:
        engine.dispose()
        raise
    if file is None:
        return SqlStore(engine)
    for one in (file, *side_files(file)):
        narrow(one)
    # Whoever watches has to see every connection from the first on.
    engine.dispose()
    return FileStore(engine, Place(file))


def open_existing(url: str, prepare_after: int = PREPARE_AFTER) -> SqlStore:
    """Open the database at a URL, if there is one; nothing is made where there is none.

    Args:
        url: `sqlite:///FILE` or `postgresql://USER@HOST/NAME`.
        prepare_after: After how many uses a server prepares a statement; 0: never.

    Raises:
        StoreError: There is none, or it cannot be opened, is not Steading's, or belongs to a newer version.
    """
    engine = make_engine(url, prepare_after)
    name = database_name(engine.url)
    try:
        if not _is_there(engine, name):
            raise StoreError(
                f"There is no {name.removeprefix('the ')} yet, and none was made. "
                "Name the right one with --database, or begin with `coach serve`."
            )
    finally:
        engine.dispose()
    return open_store(url, prepare_after)


def _is_there(engine: Engine, name: str) -> bool:
    file = _file(engine.url)
    # To connect would already make the file.
    if file is not None and not (file.is_file() and file.stat().st_size):
        return False
    with ways(engine).reading.connect() as connection:
        return has_tables(connection, name)


def _file(url: URL) -> Path | None:
    if url.get_backend_name() != "sqlite" or url.database is None or url.database.startswith("file:"):
        return None
    return Path(url.database)


def _make_folder(url: URL) -> Path | None:
    """The database's file, if it is one, in a folder that is there, cleared of what was left beside it."""
    file = _file(url)
    if file is None:
        return None
    folder = file.parent
    try:
        # A household's days are nobody else's business.
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise StoreError(
            f"The folder {folder} cannot be made: {error.strerror}. Name another with --database."
        ) from error
    make_private(file)
    clear_parts(file)
    return file
