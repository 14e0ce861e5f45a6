"""Copies of a database file: those that are asked for, and the last few kept before something replaced it."""

from __future__ import annotations

import re
from contextlib import closing, contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from coach.errors import StoreError, Unknown
from coach.ground.ports import Kept
from coach.store.backup import backup, checked, restore
from coach.store.engine import read_url
from coach.store.opening import open_store

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from coach.ground.ports import Store

FOLDER = ".copies"
"""Added to the database's name for the folder beside it."""

MOST = 5
"""How many are kept."""

_STAMP = "%Y-%m-%d-%H%M%S-%f"
_NAME = re.compile(r"\d{4}-\d\d-\d\d-\d{6}-\d{6}-before-[a-z]+\.db")


class FileCopies:
    """Copies of the SQLite database at a URL."""

    def __init__(self, url: str) -> None:
        self.url = url
        database = Path(read_url(url).database or "")
        self.folder = database.with_name(database.name + FOLDER)

    def backup(self, to: Path) -> None:
        """Write a complete copy to a file."""
        backup(self.url, to)

    def keep(self, before: str) -> Kept:
        """Make a copy before what is named happens, and let go of the oldest beyond the last few.

        Raises:
            StoreError: It cannot be written.
        """
        try:
            self.folder.mkdir(mode=0o700, exist_ok=True)
        except OSError as error:
            raise StoreError(f"The folder {self.folder} cannot be made: {error.strerror}.") from error
        target = self._free(before)
        backup(self.url, target)
        for older in [copy for copy in self._files() if copy != target][MOST - 1 :]:
            older.unlink(missing_ok=True)
        return _kept(target)

    def kept(self) -> list[Kept]:
        """The copies there are, the newest first."""
        return [_kept(file) for file in self._files()]

    def file(self, name: str) -> Path:
        """A copy's file.

        Raises:
            Unknown: There is none of that name.
        """
        for file in self._files():
            if file.name == name:
                return file
        raise Unknown("This copy is not kept any more; only the last few are.")

    @contextmanager
    def opened(self, source: Path) -> Iterator[Store]:
        """The store in a copy, to look into; the file stays as it is.

        Raises:
            StoreError: It is none.
        """
        with checked(self.url, source) as path, closing(open_store(f"sqlite:///{path}")) as store:
            yield store

    def restore(self, source: Path, sure: Callable[[], None] | None = None) -> Kept | None:
        """Put a copy in the place of the database, and keep what was there if it could be read.

        Args:
            source: The copy.
            sure: Called when what was there is kept and nothing is replaced yet; it may raise.

        Raises:
            StoreError: It is none, or what was there cannot be kept; nothing is changed then.
        """
        kept: list[Kept] = []

        def before() -> None:
            kept.append(self.keep("restore"))
            if sure is not None:
                sure()

        restore(self.url, source, before)
        return kept[0] if kept else None

    def forget(self) -> None:
        """Delete every copy that was kept."""
        for file in self._files():
            file.unlink(missing_ok=True)

    def _files(self) -> list[Path]:
        if not self.folder.is_dir():
            return []
        found = [file for file in self.folder.iterdir() if _NAME.fullmatch(file.name)]
        return sorted(found, key=lambda file: file.name, reverse=True)

    def _free(self, before: str) -> Path:
        """A name that no copy has: a clock may stand still, or be set back."""
        at = datetime.now(UTC)
        latest = max((_kept(file).at for file in self._files()), default=at)
        at = max(at, latest + timedelta(microseconds=1))
        return self.folder / f"{at:{_STAMP}}-before-{before}.db"


def copies_of(url: str) -> FileCopies | None:
    """The copies of the database at a URL; none where a server keeps it."""
    return FileCopies(url) if read_url(url).get_backend_name() == "sqlite" else None


def _kept(file: Path) -> Kept:
    stamp, _, before = file.stem.partition("-before-")
    return Kept(file.name, datetime.strptime(stamp, _STAMP).replace(tzinfo=UTC), before, str(file))
