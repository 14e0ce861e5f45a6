"""Files that wait on this machine's disk for the time of a request, and what is said if it has no room."""

from __future__ import annotations

import errno
import tempfile
from pathlib import Path

from coach.errors import StoreError

_NO_ROOM = {errno.ENOSPC, errno.EDQUOT}


def no_room(error: OSError) -> StoreError:
    """What to say when such a file could not be kept."""
    if error.errno in _NO_ROOM:
        return StoreError(
            "The disk that holds this machine's temporary files is full, so nothing was changed. "
            "Free some space and try again."
        )
    reason = error.strerror or str(error)
    return StoreError(f"This machine's temporary files cannot be written, so nothing was changed: {reason}.")


def new_folder() -> Path:
    """A folder for such files, which whoever asked for it removes.

    Raises:
        StoreError: There is no room.
    """
    try:
        return Path(tempfile.mkdtemp(prefix="steading-"))
    except OSError as error:
        raise no_room(error) from error
