"""Opening a store: the folder, the engine and the migrations in one call."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from coach.errors import StoreError
from coach.store.engine import make_engine
from coach.store.households import SqlStore
from coach.store.migrations import migrate

if TYPE_CHECKING:
    from sqlalchemy import URL


def open_store(url: str) -> SqlStore:
    """Open the database at a URL, with its folder made and its tables brought up to date.

    Args:
        url: `sqlite:///FILE` or `postgresql://USER@HOST/NAME`.

    Raises:
        StoreError: It cannot be opened, is no Steading database, or belongs to a newer version.
    """
    engine = make_engine(url)
    try:
        _make_folder(engine.url)
        migrate(engine)
    except BaseException:
        engine.dispose()
        raise
    return SqlStore(engine)


def _make_folder(url: URL) -> None:
    if url.get_backend_name() != "sqlite" or url.database is None or url.database.startswith("file:"):
        return
    folder = Path(url.database).parent
    try:
        # A household's days are nobody else's business.
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise StoreError(
            f"The folder {folder} cannot be made: {error.strerror}. Name another with --database."
        ) from error
