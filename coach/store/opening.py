"""Opening a store: the folder, the engine and the migrations in one call."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from coach.errors import StoreError
from coach.store.engine import make_engine, ways
from coach.store.failures import database_name
from coach.store.filed import FileStore
from coach.store.files import clear_parts, make_private, narrow, side_files
from coach.store.households import SqlStore
from coach.store.migrations import has_tables, migrate
from coach.store.place import Place

if TYPE_CHECKING:
    from sqlalchemy import URL, Engine


def open_store(url: str) -> SqlStore:
    """Open the database at a URL, with its folder made and its tables brought up to date.

    Args:
        url: `sqlite:///FILE` or `postgresql://USER@HOST/NAME`.

    Raises:
        StoreError: It cannot be opened, is no Steading database, or belongs to a newer version.
    """
    engine = make_engine(url)
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


def open_existing(url: str) -> SqlStore:
    """Open the database at a URL, if there is one; nothing is made where there is none.

    Args:
        url: `sqlite:///FILE` or `postgresql://USER@HOST/NAME`.

    Raises:
        StoreError: There is none, or it cannot be opened, is not Steading's, or belongs to a newer version.
    """
    engine = make_engine(url)
    name = database_name(engine.url)
    try:
        if not _is_there(engine, name):
            raise StoreError(
                f"There is no {name.removeprefix('the ')} yet, and none was made. "
                "Name the right one with --database, or begin with `coach serve`."
            )
    finally:
        engine.dispose()
    return open_store(url)


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
