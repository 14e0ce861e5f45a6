"""Whether somebody proved lately who they are, as a change to their ways in asks for (ASVS 5.0.0, 7.5.1)."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from coach.errors import ConfirmFirst, NotAllowed, NotEditable

if TYPE_CHECKING:
    from datetime import datetime

    from coach.ground.people import Caller

LATELY = timedelta(minutes=15)
"""So long after somebody was let in they may add or remove a way in without coming in anew."""

NOBODY = (
    "This belongs to a person, and nobody in particular asks here. Pair a device first: whoever pairs says "
    "who they are."
)
NO_PROGRAM = (
    "A token for programs changes nothing about how a person comes in. Use a browser that was let in."
)
CONFIRM = (
    "Confirm first that it is you: sign in on this device once more, by a passkey, a recovery code or a code "
    "from another device. Then there are fifteen minutes for this."
)


def is_confirmed(caller: Caller, now: datetime) -> bool:
    """Whether somebody was let in so lately that they may change how they come in."""
    session = caller.session
    return session is not None and session.kind == "browser" and now - session.made_at < LATELY


def refuse_unless_confirmed(caller: Caller, now: datetime) -> None:
    """Hold back a change to somebody's ways in.

    Raises:
        NotEditable: Nobody in particular asks.
        NotAllowed: A program asks.
        ConfirmFirst: They were let in too long ago.
    """
    refuse_nobody(caller)
    if not is_confirmed(caller, now):
        raise ConfirmFirst(CONFIRM)


def refuse_nobody(caller: Caller) -> None:
    """Hold back what is a person's own.

    Raises:
        NotEditable: Nobody in particular asks.
        NotAllowed: A program asks.
    """
    if not caller.person:
        raise NotEditable(NOBODY)
    if caller.session is not None and caller.session.kind == "program":
        raise NotAllowed(NO_PROGRAM)
