"""How often one calendar is made anew for whoever has its address: a bound, kept in memory."""

from __future__ import annotations

from datetime import timedelta
from threading import Lock
from typing import TYPE_CHECKING

from coach.limits import FETCHES

if TYPE_CHECKING:
    from datetime import datetime

SPAN = timedelta(minutes=1)
"""Within this time they are counted."""


class Fetches:
    """Counts for each feed how often it was sent whole lately.

    A program that says what it has is not counted; and there are no more counts than feeds, since none is
    kept of an address that finds nothing.
    """

    def __init__(self) -> None:
        self._counts: dict[str, tuple[datetime, int]] = {}
        self._lock = Lock()

    def waits(self, feed: str, now: datetime) -> int:
        """For how many seconds a feed is not sent whole any more; 0: it is sent, and counted."""
        with self._lock:
            since, count = self._counts.get(feed, (now, 0))
            if not since <= now < since + SPAN:
                since, count = now, 0
            if count >= FETCHES:
                return max(1, int((since + SPAN - now).total_seconds()))
            self._counts[feed] = since, count + 1
            return 0
