"""Files that wait on this machine's disk for the time of a request, and what is said if it has no room."""

from __future__ import annotations

import errno
import os
import re
import shutil
import tempfile
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from coach.errors import StoreError
from coach.ground.leftovers import gone, left_in, made, owned_beginning

if TYPE_CHECKING:
    from collections.abc import Iterator

_BEGINNING = "steading-"
_OURS = re.compile(rf"{_BEGINNING}(?P<process>\d{{1,9}})-[a-z0-9_]{{8}}")
_NO_ROOM = {errno.ENOSPC, errno.EDQUOT}
_ELSEWHERE = "or name another folder with TMPDIR and start Steading anew"


def no_room(error: OSError) -> StoreError:
    """What to say when such a file could not be kept."""
    if error.errno in _NO_ROOM:
        return StoreError(
            "The disk that holds this machine's temporary files is full, so nothing was changed. "
            f"Free some space and try again, {_ELSEWHERE}."
        )
    reason = error.strerror or str(error)
    return StoreError(
        f"This machine's temporary files cannot be written, so nothing was changed: {reason}. "
        f"Make their folder writable, {_ELSEWHERE}."
    )


@contextmanager
def room_in_temporary_files() -> Iterator[None]:
    """Say of a file that could not be written here where it was to be, and not what it was called."""
    try:
        yield
    except StoreError as error:
        if isinstance(error.__cause__, OSError):
            raise no_room(error.__cause__) from error
        raise


def stay_where_told() -> None:
    """Let temporary files go where `TMPDIR` says or nowhere.

    Python would take another folder without a word if that one is full or cannot be written.
    """
    named = os.environ.get("TMPDIR")
    if named and tempfile.tempdir is None:
        tempfile.tempdir = named


def new_folder() -> Path:
    """A folder for such files, for this user alone; whoever asked for it removes it.

    Raises:
        StoreError: There is no room.
    """
    try:
        folder = Path(tempfile.mkdtemp(prefix=owned_beginning(_BEGINNING)))
    except OSError as error:
        raise no_room(error) from error
    made(folder.name)
    return folder


def remove_folder(folder: Path) -> None:
    """Remove it with all that is in it."""
    shutil.rmtree(folder, ignore_errors=True)
    gone(folder.name)


def clear_folders() -> None:
    """Remove such folders of processes that were killed."""
    for folder in left_in(Path(tempfile.gettempdir()), _OURS):
        shutil.rmtree(folder, ignore_errors=True)
