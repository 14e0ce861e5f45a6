"""Files, mostly for their owner alone, which get their name only when they are whole and on the disk."""

from __future__ import annotations

import os
import re
import stat
import tempfile
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING

from coach.errors import StoreError
from coach.ground.leftovers import gone, left_in, made, owned_beginning

if TYPE_CHECKING:
    from collections.abc import Iterator

_SIDE_FILES = ("-wal", "-shm", "-journal")
_OTHERS = stat.S_IRWXG | stat.S_IRWXO
_ANYBODYS = 0o666
_END = r"(?:(?P<process>\d{1,9})-)?[a-z0-9_]{8}\.part(?:-wal|-shm|-journal)?"


def write_whole(target: Path, content: bytes, *, private: bool = True) -> None:
    """Write a file, which is replaced only when all of the new content is on the disk.

    Args:
        target: The file; a device or a pipe is written to as it is.
        content: All of it.
        private: For its owner alone. Where it is not, others may read it as they might the file that was
            there, and a new one as any that is made here.

    Raises:
        StoreError: It cannot be written; a file that was there is as it was.
    """
    try:
        if target.exists() and not (target.is_file() or target.is_dir()):
            target.write_bytes(content)
            return
        place = target.resolve()
        with temporary(place) as path:
            path.write_bytes(content)
            if not private:
                path.chmod(_usual_mode(place))
            put_in_place(path, place)
    except OSError as error:
        raise StoreError(f"{target} cannot be written: {error.strerror}.") from error


def _usual_mode(place: Path) -> int:
    """Who may do what with a file that is opened here to be written."""
    if place.is_file():
        return stat.S_IMODE(place.stat().st_mode)
    mask = os.umask(_OTHERS)
    os.umask(mask)
    return _ANYBODYS & ~mask


@contextmanager
def temporary(beside: Path) -> Iterator[Path]:
    """A new file in the same folder, so that it can take the other's name at once; gone at the end."""
    clear_parts(beside)
    try:
        handle, name = tempfile.mkstemp(
            prefix=owned_beginning(f".{beside.name}."), suffix=".part", dir=beside.resolve().parent
        )
    except OSError as error:
        raise StoreError(f"Nothing can be written beside {beside}: {error.strerror}.") from error
    os.close(handle)
    path = Path(name)
    made(path.name)
    try:
        yield path
    finally:
        for file in (path, *side_files(path)):
            file.unlink(missing_ok=True)
        gone(path.name)


def clear_parts(beside: Path) -> None:
    """Remove temporary files for this one that a process left which was killed."""
    _clear(beside.resolve().parent, re.compile(rf"\.{re.escape(beside.name)}\.{_END}"))


def clear_folder(folder: Path) -> None:
    """Remove temporary files for any file of a folder of ours that a process left which was killed."""
    _clear(folder, re.compile(rf"\..+\.{_END}"))


def _clear(folder: Path, name: re.Pattern[str]) -> None:
    for file in left_in(folder, name):
        with suppress(OSError):
            file.unlink(missing_ok=True)


def put_in_place(finished: Path, target: Path) -> None:
    """Give a finished file its name, after its content is on the disk."""
    try:
        with finished.open("rb+") as file:
            os.fsync(file.fileno())
        finished.replace(target)
    except OSError as error:
        raise StoreError(f"{target} cannot be written: {error.strerror}.") from error
    if os.name == "posix":
        _flush_folder(target.resolve().parent)


def _flush_folder(folder: Path) -> None:
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def side_files(path: Path) -> list[Path]:
    """The files that SQLite may keep beside a database."""
    return [path.with_name(path.name + ending) for ending in _SIDE_FILES]


def make_private(file: Path) -> None:
    """Make an empty file for its owner alone where there is none; whoever opens it says what hinders that."""
    with suppress(OSError):
        os.close(os.open(file, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))


def narrow(path: Path) -> None:
    """Take away what others may do with a file or a folder of ours, where the file system knows of that."""
    if os.name != "posix":
        return
    with suppress(OSError):
        found = path.stat()
        if found.st_uid == os.geteuid() and found.st_mode & _OTHERS:
            path.chmod(stat.S_IMODE(found.st_mode) & ~_OTHERS)
