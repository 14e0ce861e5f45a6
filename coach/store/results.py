"""What came of checking a copy, remembered in a small file beside it while the copy stays as it is."""

from __future__ import annotations

import json
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from coach.errors import StoreError
from coach.ground.kept import Check
from coach.store.files import write_whole
from coach.store.given import Unusable, count, given

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

ENDING = ".check"
"""Added to a copy's name for the file that remembers."""


@dataclass(frozen=True, slots=True)
class Checked:
    """A file that was looked through and could be brought back.

    Attributes:
        version: Of its tables.
        rows: How many each table has.
    """

    version: str
    rows: Mapping[str, int]


def check_file(file: Path, name: str | None = None) -> Checked:
    """Look a copy through, as a restore would, without touching any database.

    Args:
        file: The copy.
        name: What the person calls it.

    Raises:
        Unusable: It could not be brought back.
        StoreError: It is not there or cannot be read now.
    """
    if not file.is_file():
        raise StoreError(f"There is no file {file}. Name the backup to check.")
    with given(file, f"the backup {name or file}") as found:
        return Checked(found.revision, count(found))


def result(file: Path) -> Check | None:
    """What came of the last check of a copy, or of one that is made now; None if it cannot be read now."""
    try:
        before = _stamp(file)
        return _remembered(file, before) or _found(file, before)
    except (StoreError, OSError):
        return None


def forget(file: Path) -> None:
    """Remove a copy and what was remembered of it."""
    file.unlink(missing_ok=True)
    _beside(file).unlink(missing_ok=True)


def _found(file: Path, stamp: list[int]) -> Check:
    fault = ""
    try:
        check_file(file)
    except Unusable as error:
        fault = error.reason
    found = Check(datetime.now(UTC), fault)
    kept = {"stamp": stamp, "at": found.at.isoformat(), "fault": found.fault}
    # Where nothing can be written, the copy is checked again the next time.
    with suppress(StoreError):
        write_whole(_beside(file), json.dumps(kept).encode())
    return found


def _remembered(file: Path, stamp: list[int]) -> Check | None:
    try:
        kept = json.loads(_beside(file).read_bytes())
        if kept["stamp"] != stamp:
            return None
        found = Check(datetime.fromisoformat(kept["at"]).astimezone(UTC), str(kept["fault"]))
    except (OSError, ValueError, KeyError, TypeError):
        return None
    return found


def _beside(file: Path) -> Path:
    return file.with_name(file.name + ENDING)


def _stamp(file: Path) -> list[int]:
    """What changes when somebody writes to a file."""
    state = file.stat()
    return [state.st_size, state.st_mtime_ns]
