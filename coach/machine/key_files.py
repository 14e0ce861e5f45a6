"""Files with keys in them: for their owner alone, and there whole or not at all."""

from __future__ import annotations

import os
import re
import secrets
import shlex
import stat
import time
from contextlib import contextmanager, suppress
from typing import TYPE_CHECKING

from coach.errors import NotReady

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

FILE_MODE, FOLDER_MODE = 0o600, 0o700
LEFT_AFTER = 3600
"""Seconds after which a temporary file was left by a process that was killed."""

_OTHERS = stat.S_IRWXG | stat.S_IRWXO
_PART = re.compile(r"\..+\.[0-9a-f]{16}\.part")


def make_folder(folder: Path) -> None:
    """Have a folder for its owner alone, and the one around it if that is not there yet.

    Raises:
        NotReady: It cannot be made, or belongs to somebody else.
    """
    try:
        for one in (folder.parent, folder):
            one.mkdir(mode=FOLDER_MODE, parents=True, exist_ok=True)
        if is_open_to_others(folder):
            folder.chmod(FOLDER_MODE)
    except OSError as error:
        raise NotReady(
            f"The folder {folder} for the household's certificates cannot be made private: "
            f"{error.strerror}. Name another with COACH_TLS_FOLDER, or make this one yours."
        ) from error


def is_open_to_others(path: Path) -> bool:
    """Whether anyone but the owner may use a file or a folder, where the system knows of that."""
    return os.name == "posix" and bool(path.stat().st_mode & _OTHERS)


def read_private(path: Path) -> bytes | None:
    """What a file with a key in it holds; None if there is none.

    Raises:
        NotReady: It cannot be read, or others may read it as well.
    """
    try:
        if is_open_to_others(path):
            raise NotReady(
                f"Other users of this machine may read the key in {path}. If nobody else uses it, close the "
                f"file (chmod 600 {shlex.quote(str(path))}); else delete it, and what is made in its place "
                "has to be trusted anew by each phone."
            )
        return path.read_bytes()
    except FileNotFoundError:
        return None
    except OSError as error:
        raise NotReady(
            f"The key in {path} cannot be read: {error.strerror}. "
            "Start Steading as the user whose file it is."
        ) from error


def write_once(path: Path, content: bytes) -> None:
    """Write a file unless there is one of that name; whoever comes second changes nothing.

    Raises:
        NotReady: It cannot be written.
    """
    with _written(path, content) as part, suppress(FileExistsError):
        # A second name for a whole file: the one act that makes it appear and fails where there is one.
        os.link(part, path)


def replace(path: Path, content: bytes) -> None:
    """Write a file, in the place of one of that name.

    Raises:
        NotReady: It cannot be written; a file that was there is as it was.
    """
    with _written(path, content) as part:
        part.replace(path)


@contextmanager
def _written(path: Path, content: bytes) -> Iterator[Path]:
    """The content in a new file beside `path`, on the disk and for its owner alone; gone at the end."""
    part = path.with_name(f".{path.name}.{secrets.token_hex(8)}.part")
    try:
        _clear(path.parent)
        with os.fdopen(os.open(part, os.O_CREAT | os.O_EXCL | os.O_WRONLY, FILE_MODE), "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        yield part
    except OSError as error:
        raise NotReady(
            f"{path} cannot be written: {error.strerror}. Make room or make the folder writable, or name "
            "another with COACH_TLS_FOLDER, on a disk that knows owners of files."
        ) from error
    finally:
        with suppress(OSError):
            part.unlink(missing_ok=True)


def _clear(folder: Path) -> None:
    """Remove what killed processes left."""
    for file in folder.iterdir():
        if _PART.fullmatch(file.name):
            with suppress(OSError):
                if file.stat().st_mtime < time.time() - LEFT_AFTER:
                    file.unlink(missing_ok=True)
