"""Temporary files named after the process that makes them, so that the next one clears what was left."""

from __future__ import annotations

import os
import time
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import re
    from collections.abc import Iterator
    from pathlib import Path

SECONDS = 7 * 24 * 60 * 60
"""Age from which a file without a process in its name, or on a system that cannot be asked, was left."""

_STARTED = time.time()
_MADE: set[str] = set()


def owned_beginning(beginning: str) -> str:
    """The beginning of a temporary file's name, with this process in it."""
    return f"{beginning}{os.getpid()}-"


def made(name: str) -> None:
    """Remember that this process made a temporary file."""
    _MADE.add(name)


def gone(name: str) -> None:
    """Forget it again, once it is gone."""
    _MADE.discard(name)


def left_in(folder: Path, name: re.Pattern[str]) -> Iterator[Path]:
    """What was left in a folder by processes that run no more, under names of ours.

    Args:
        folder: Where to look.
        name: What a name of ours looks like, with its process as the group `process`.
    """
    try:
        named = [(path, name.fullmatch(path.name)) for path in folder.iterdir()]
    except OSError:
        return
    for path, ours in sorted((path, ours) for path, ours in named if ours):
        if _is_left(path, ours["process"]):
            yield path


def _is_left(path: Path, owner: str | None) -> bool:
    try:
        state = path.lstat()
    except OSError:
        return False
    if os.name == "posix" and state.st_uid != os.geteuid():
        return False
    if owner is None or os.name != "posix":
        return time.time() - state.st_mtime > SECONDS
    process = int(owner)
    if process == os.getpid():
        # A service in a container has the same number each time.
        return state.st_mtime < _STARTED and not _is_ours(path.name)
    return not _runs(process)


def _is_ours(name: str) -> bool:
    """Whether this process made it, or made what it lies beside, as SQLite's files do."""
    return any(name.startswith(one) for one in tuple(_MADE))


def _runs(process: int) -> bool:
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except OSError:
        return True
    return True
