"""Copies of a database file: those that are asked for, and the last few kept before something replaced it."""

from __future__ import annotations

import re
from contextlib import closing, contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from coach.errors import StoreError, Unknown
from coach.ground.kept import Kept
from coach.store.backup import backup, backup_open, checked, restore
from coach.store.engine import read_url
from coach.store.filed import FileStore
from coach.store.files import clear_folder, narrow
from coach.store.opening import open_store
from coach.store.results import forget, result

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from coach.ground.ports import Store

FOLDER = ".copies"
"""Added to the database's name for the folder beside it."""

MOST = 5
"""How many of those are kept that were made before something replaced the database."""

DATED = 7
"""How many of those are kept that were asked for, unless another number is named."""

MOST_DATED = 1000
"""The largest number that can be named: each is a whole copy, and all of them are looked at for the page."""

_STAMP = "%Y-%m-%d-%H%M%S-%f"
_NAME = re.compile(r"(\d{4}-\d\d-\d\d-\d{6}-\d{6})(?:-before-([a-z]+))?\.db")


class FileCopies:
    """Copies of the SQLite database at a URL.

    Args:
        url: The database's URL.
        store: Who holds it open here, if anybody does.
    """

    def __init__(self, url: str, store: FileStore | None = None) -> None:
        self.url = url
        self._store = store
        database = Path(read_url(url).database or "")
        self.folder = database.with_name(database.name + FOLDER)

    def backup(self, to: Path, name: str | None = None) -> None:
        """Write a complete copy to a file, once database and copy were found whole.

        What is held open here is copied, though its file may not lie in its place any more.

        Raises:
            StoreError: The database is damaged, or the file cannot be written.
        """
        self._write(to, name, faithful=False)

    def keep(self, before: str) -> Kept:
        """Make a copy before what is named happens, and let go of the oldest beyond the last few.

        Raises:
            StoreError: The database is damaged, or the copy cannot be written.
        """
        return self._add(before, MOST, faithful=True)

    def dated(self, most: int = DATED) -> Kept:
        """Make a copy that is asked for, and let go of the oldest such ones beyond so many.

        Raises:
            StoreError: The database is damaged, or the copy cannot be written.
        """
        return self._add("", most, faithful=False)

    def kept(self) -> list[Kept]:
        """The copies there are, the newest first, each with what came of its last check."""
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
    def opened(self, source: Path, name: str | None = None) -> Iterator[Store]:
        """The store in a copy, to look into; the file stays as it is.

        Raises:
            Malformed: It is none.
        """
        with checked(self.url, source, name) as path, closing(open_store(f"sqlite:///{path}")) as store:
            yield store

    def restore(
        self, source: Path, sure: Callable[[], None] | None = None, name: str | None = None
    ) -> Kept | None:
        """Put a copy in the place of the database, and keep what was there if it could be read.

        Args:
            source: The copy.
            sure: Called when what was there is kept and nothing is replaced yet; it may raise.
            name: What the person calls the file.

        Raises:
            Malformed: It is none; nothing is changed.
            StoreError: What was there cannot be kept, or the disk fails; nothing is changed.
        """
        kept: list[Kept] = []

        def before() -> None:
            kept.append(self.keep("restore"))
            if sure is not None:
                sure()

        if self._trouble():
            with checked(self.url, source, name):
                before()
            self._renew()
            # Another file may lie there, and is kept too.
            sure = None
        restore(self.url, source, before, name)
        if self._trouble():
            self._renew()
        return kept[0] if kept else None

    def forget(self) -> None:
        """Delete every copy that was kept."""
        for file in self._files():
            forget(file)

    def _add(self, before: str, most: int, *, faithful: bool) -> Kept:
        try:
            self.folder.mkdir(mode=0o700, exist_ok=True)
        except OSError as error:
            raise StoreError(f"The folder {self.folder} cannot be made: {error.strerror}.") from error
        narrow(self.folder)
        target = self._free(before)
        self._write(target, None, faithful=faithful)
        self._let_go(target, most)
        return _kept(target)

    def _write(self, to: Path, name: str | None, *, faithful: bool) -> None:
        if self._store is not None and self._store.trouble():
            with self._store.held_open() as connection:
                backup_open(connection, self.url, to, name)
        else:
            backup(self.url, to, name, faithful=faithful)

    def _let_go(self, new: Path, most: int) -> None:
        """Let go of what is older than so many whole copies of a kind: a bad one pushes no good one out."""
        clear_folder(self.folder)
        whole = 0
        for copy in self._files():
            if bool(_before(copy)) != bool(_before(new)):
                continue
            if whole >= most and copy != new:
                forget(copy)
            elif (found := result(copy)) is not None and not found.fault:
                whole += 1

    def _trouble(self) -> str | None:
        return None if self._store is None else self._store.trouble()

    def _renew(self) -> None:
        if self._store is not None:
            # The next connection takes the file that lies there now.
            self._store.close()

    def _files(self) -> list[Path]:
        if not self.folder.is_dir():
            return []
        found = [file for file in self.folder.iterdir() if _NAME.fullmatch(file.name)]
        return sorted(found, key=lambda file: file.name, reverse=True)

    def _free(self, before: str) -> Path:
        """A name that no copy has: a clock may stand still, or be set back."""
        at = datetime.now(UTC)
        latest = max((_at(file) for file in self._files()), default=at)
        at = max(at, latest + timedelta(microseconds=1))
        return self.folder / f"{at:{_STAMP}}{f'-before-{before}' if before else ''}.db"


def copies_of(url: str, store: object | None = None) -> FileCopies | None:
    """The copies of the database at a URL; none where a server keeps it."""
    if read_url(url).get_backend_name() != "sqlite":
        return None
    return FileCopies(url, store if isinstance(store, FileStore) else None)


def _kept(file: Path) -> Kept:
    try:
        size = file.stat().st_size
    except OSError:
        size = None
    return Kept(file.name, _at(file), _before(file), str(file), size, result(file))


def _at(file: Path) -> datetime:
    return datetime.strptime(_parts(file)[0], _STAMP).replace(tzinfo=UTC)


def _before(file: Path) -> str:
    return _parts(file)[1] or ""


def _parts(file: Path) -> tuple[str, str | None]:
    found = _NAME.fullmatch(file.name)
    return (found[1], found[2]) if found else ("", None)
