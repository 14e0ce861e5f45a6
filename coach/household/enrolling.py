"""Enrolling: somebody who was invited is let in, and begins where the household has not begun."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import asdict, replace
from typing import TYPE_CHECKING

from coach.errors import AlreadyStarted
from coach.household import new_home, pairing, start
from coach.household.start import Beginning

if TYPE_CHECKING:
    from coach.ground.people import Caller
    from coach.ground.ports import Context
    from coach.household.answers import Paired


__all__ = ["Beginning", "enrol"]


def enrol(
    context: Context, caller: Caller, wanted: pairing.Pairing, beginning: Beginning, household: str = ""
) -> Paired:
    """Let somebody in, and begin with their answers where nobody has begun; else these change nothing.

    Args:
        context: Store, lessons and clock.
        caller: Who asks.
        wanted: What they bring.
        beginning: The answers to begin with.
        household: What a new household is called, where the code begins one.

    Raises:
        WrongCode: The code is wrong, used, over, or too many wrong ones were tried.
        TooOften: Too many wrong codes were tried.
        NotAllowed: The code is somebody's who may not let a keeper in, or there is no room.
        Malformed: Nobody is named, or an answer cannot be read; the code can still be used then.
        Unknown: There is no such step.
    """
    if context.is_hosted:
        again = pairing.sent_before(context, wanted)
        if again is not None:
            return again
        if pairing.names(context, caller, wanted.code).kind == "household":
            return new_home.enrol(context, caller, wanted, household, beginning)
    if beginning.says_anything:
        # Before the code is used up.
        start.check(context, **asdict(beginning))
    paired = pairing.pair(context, caller, wanted)
    if beginning.says_anything and paired.household:
        theirs = replace(context, by=paired.person)
        with suppress(AlreadyStarted):
            start.start(theirs, paired.household, **asdict(beginning))
    return paired
