"""Uploads that were checked and wait for a tap: few, for a short time, under names that nobody can guess."""

from __future__ import annotations

import secrets
import shutil
import threading
import time
import weakref
from dataclasses import dataclass
from typing import TYPE_CHECKING, BinaryIO

from coach.errors import Unknown
from coach.web.uploads import new_folder, no_room, remove_folder

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

MOST = 4
"""How many of one household wait at a time; one more takes the place of its oldest."""

EVERYBODYS = 64
"""How many wait in all; one more takes the place of the oldest."""

SECONDS = 30 * 60
"""How long one waits."""

REMEMBERED = 16
"""How many that were put in place are remembered for each household that may have some waiting, so that a
second tap is answered like the first."""

GONE = "This file is not held any more: it waits half an hour, and until Steading ends. Choose it once more."


@dataclass(frozen=True, slots=True)
class Upload:
    """An upload that waits.

    Attributes:
        household: Who sent it.
        kind: What it is for.
        name: What the file is called.
        path: Where it lies.
        since: When it came, in seconds of the clock.
    """

    household: str
    kind: str
    name: str
    path: Path
    since: float


class Held:
    """Keeps uploads in a folder of the system's that is gone with this process.

    Args:
        clock: Seconds, from any beginning.

    Attributes:
        turn: Held by whoever puts something in the place of everything: one at a time.
    """

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._lock = threading.Lock()
        self._put_in_place: dict[str, Upload] = {}
        self.turn = threading.Lock()
        self._uploads: dict[str, Upload] = {}
        self._folder: Path | None = None

    def put(self, household: str, kind: str, source: BinaryIO, name: str) -> str:
        """Hold an upload, and give the name under which it waits.

        Raises:
            StoreError: There is no room for it.
        """
        token = secrets.token_urlsafe(32)
        path = self._place() / token
        try:
            with path.open("xb") as file:
                path.chmod(0o600)
                shutil.copyfileobj(source, file)
        except OSError as error:
            path.unlink(missing_ok=True)
            raise no_room(error) from error
        except BaseException:
            path.unlink(missing_ok=True)
            raise
        with self._lock:
            self._let_go(household)
            self._uploads[token] = Upload(household, kind, name, path, self._clock())
        return token

    def get(self, token: str, household: str) -> Upload:
        """The upload of that name.

        Raises:
            Unknown: It has waited too long, or somebody else has sent it.
        """
        with self._lock:
            self._let_go()
            found = self._uploads.get(token)
        # Whoever clears a machine's temporary files may have come by.
        if found is None or found.household != household or not found.path.is_file():
            raise Unknown(GONE)
        return found

    def drop(self, token: str) -> None:
        """Let go of an upload, if it is still there."""
        with self._lock:
            found = self._uploads.pop(token, None)
        if found is not None:
            found.path.unlink(missing_ok=True)

    def finish(self, token: str) -> None:
        """Let go of an upload that was put in place, and remember that it was."""
        with self._lock:
            if found := self._uploads.get(token):
                self._put_in_place[token] = found
                for old in self._beyond(self._put_in_place, found.household, REMEMBERED):
                    del self._put_in_place[old]
                for old in list(self._put_in_place)[: -REMEMBERED * EVERYBODYS]:
                    del self._put_in_place[old]
        self.drop(token)

    def finished(self, token: str, household: str) -> Upload | None:
        """The upload of that name, if it was put in place lately."""
        with self._lock:
            found = self._put_in_place.get(token)
        return found if found and found.household == household else None

    def clear(self, household: str | None = None) -> None:
        """Let go of all that a household sent, or of all there is."""
        with self._lock:
            theirs = [token for token, one in self._uploads.items() if household in {None, one.household}]
            self._forget(theirs)
            for token, one in list(self._put_in_place.items()):
                if household in {None, one.household}:
                    del self._put_in_place[token]

    def _let_go(self, household: str | None = None) -> None:
        """Drop those that have waited too long; for one more of a household the oldest beyond the bounds."""
        late = [token for token, one in self._uploads.items() if self._clock() - one.since > SECONDS]
        self._forget(late)
        if household is not None:
            self._forget(self._beyond(self._uploads, household, MOST - 1))
            self._forget(list(self._uploads)[: 1 - EVERYBODYS])

    @staticmethod
    def _beyond(uploads: dict[str, Upload], household: str, most: int) -> list[str]:
        """The oldest of a household's beyond so many."""
        return [token for token, one in uploads.items() if one.household == household][:-most]

    def _forget(self, tokens: list[str]) -> None:
        for token in tokens:
            self._uploads.pop(token).path.unlink(missing_ok=True)

    def _place(self) -> Path:
        with self._lock:
            if self._folder is None:
                self._folder = new_folder()
                weakref.finalize(self, remove_folder, self._folder)
            return self._folder
