"""Whose hand a mark is from: what they had seen, when they tapped, and whether it may take a mark's place."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import Enum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from coach.ground.rows import Signed
    from coach.progress.log import Mark

AHEAD = timedelta(minutes=5)
"""A device's clock may be so far ahead; what it says of a later instant is taken as now."""


@dataclass(frozen=True, slots=True)
class Tap:
    """What a mark says of itself besides.

    Attributes:
        seen_version: The household's version of the answer that the one who marks has seen; None: not said.
        tapped_at: When they tapped, aware; None: as it arrives.
    """

    seen_version: int | None = None
    tapped_at: datetime | None = None

    def at(self, now: datetime) -> Tap:
        """The same where no instant lies further ahead than a clock may be."""
        if self.tapped_at is None or self.tapped_at - now <= AHEAD:
            return self
        return Tap(self.seen_version, now)

    def asks(self, version: int, members: int) -> bool:
        """Whether it matters who made the mark that stands, in a household of that version and many members.

        What has been seen as it stands now is nobody's newer mark.
        """
        if self.tapped_at is not None:
            return True
        return self.seen_version is not None and self.seen_version < version and members > 0


ONLINE = Tap()
"""A tap that says nothing of itself: it takes the place of whatever stands."""


class Verdict(Enum):
    """What becomes of a mark: it is written, what is there stands, or another one's newer mark forbids it."""

    WRITTEN = "written"
    STANDS = "stands"
    CLASH = "clash"


@dataclass(frozen=True, slots=True)
class Wanted:
    """A mark that is asked for, beside the one that stands; None: no mark.

    Attributes:
        by: Who asks; empty: the household alone, which is another one than everybody with a name.
    """

    mark: Mark | None
    stands: Mark | None
    by: str = ""


def verdict(wanted: Wanted, last: Signed | None, tap: Tap = ONLINE) -> Verdict:
    """What becomes of a mark.

    Marks that say when they were tapped end the same in whatever order they come, since the latest tap holds.
    So one of these is written though the same mark stands, if that is from an earlier tap, and a mark is
    taken back though none stands.

    Args:
        wanted: The mark that is asked for, and by whom.
        last: The last row of the line on that date, a mark or one taken back; None if there is none.
        tap: What the mark says of itself.
    """
    is_same = wanted.mark is wanted.stands
    if last is not None and _is_unseen(last, wanted.by, tap):
        return Verdict.STANDS if is_same else Verdict.CLASH
    if tap.tapped_at is None:
        return Verdict.STANDS if is_same else Verdict.WRITTEN
    if last is None or last.at < tap.tapped_at:
        return Verdict.WRITTEN
    if is_same or last.at == tap.tapped_at:
        return Verdict.STANDS if is_same else Verdict.WRITTEN
    return Verdict.STANDS if last.by == wanted.by else Verdict.CLASH


def _is_unseen(last: Signed, by: str, tap: Tap) -> bool:
    """Whether another one wrote the row after what was seen; a row of an import counts as seen."""
    if tap.seen_version is None or last.version is None or last.by == by:
        return False
    return last.version > tap.seen_version
