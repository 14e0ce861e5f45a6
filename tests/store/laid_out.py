"""Databases that hold the present tables and nothing else, migrated once and copied from then on."""

from __future__ import annotations

import tempfile
from contextlib import closing
from functools import cache
from pathlib import Path

from coach.store.opening import open_store

SQLITE = "sqlite:///"


def lay_out(url: str) -> None:
    """Put an empty database where a new SQLite file would be made."""
    file = Path(url.removeprefix(SQLITE))
    if url.startswith(SQLITE) and file.parent.is_dir() and not file.exists():
        file.write_bytes(_tables())


@cache
def _tables() -> bytes:
    """A SQLite file with the tables."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "home.db"
        with closing(open_store(f"{SQLITE}{file}")):
            pass
        return file.read_bytes()
