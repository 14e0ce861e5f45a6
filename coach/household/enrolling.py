"""Enrolling: somebody who was invited is let in, and begins where the household has not begun."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import asdict, dataclass, replace
from typing import TYPE_CHECKING

from coach.errors import AlreadyStarted
from coach.household import pairing, start

if TYPE_CHECKING:
    from coach.ground.people import Caller
    from coach.ground.ports import Context
    from coach.household.answers import Paired


@dataclass(frozen=True, slots=True)
class Beginning:
    """The three answers with which a household begins; none: not asked, or left to the usual."""

    first: str | None = None
    zone: str | None = None
    day_starts: str | None = None
    pace: str | None = None

    @property
    def says_anything(self) -> bool:
        """Whether there is any answer."""
        return any((self.first, self.zone, self.day_starts, self.pace))


def enrol(context: Context, caller: Caller, wanted: pairing.Pairing, beginning: Beginning) -> Paired:
    """Let somebody in, and begin with their answers where nobody has begun; else these change nothing.

    Raises:
        WrongCode: The code is wrong, used, over, or too many wrong ones were tried.
        TooOften: Too many wrong codes were tried.
        NotAllowed: The code is somebody's who may not let a keeper in, or the household is full.
        Malformed: Nobody is named, or an answer cannot be read; the code can still be used then.
        Unknown: There is no such step.
    """
    if beginning.says_anything:
        # Before the code is used up.
        start.check(context, **asdict(beginning))
    paired = pairing.pair(context, caller, wanted)
    if beginning.says_anything:
        theirs = replace(context, by=paired.person)
        with suppress(AlreadyStarted):
            start.start(theirs, paired.household, **asdict(beginning))
    return paired
