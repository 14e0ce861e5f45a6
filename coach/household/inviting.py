"""Invitations where many households are hosted: for new households of a group, for one more, for a coach."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from coach.errors import Malformed, NotEditable, Unknown
from coach.ground.people import Code, SignIn
from coach.household.codes import DAYS, MOST_SIGN_INS, holds, kept_code
from coach.household.names import tidy_name
from coach.household.passkeys import has_passkey
from coach.household.people_answers import Invitation, Invitations

if TYPE_CHECKING:
    from datetime import datetime

    from coach.ground.groups import Group
    from coach.ground.people import Caller
    from coach.ground.ports import Context
    from coach.household.answers import PairingCode

MOST_USES = 500
"""Households that one printed invitation of a group lets in."""

NO_GROUP = "There is no such group, or it is not yours."
NO_PASSKEY = "A group opens once you have a passkey. Add one on the page Passkeys, then make the invitation."
NO_NAME = "Say what {whose} is called."
USES = f"An invitation for households can be used from 1 to {MOST_USES} times."


def invite_households(context: Context, caller: Caller, group: str, uses: int = 1) -> PairingCode:
    """Make an invitation by which new households come into a group of the one who asks, each use another one.

    Raises:
        Unknown: There is no such group, or somebody else coaches it.
        NotEditable: The one who asks has no passkey yet.
        Malformed: It is to be used more often than it can be.
    """
    found = own_group(context, caller, group)
    with context.store.people_reading() as reading:
        if not has_passkey(reading, caller.person):
            raise NotEditable(NO_PASSKEY)
    if not 1 <= uses <= MOST_USES:
        raise Malformed(USES)
    invitation = Code("", "household", "", caller.person, uses, 0, *_now(context), group=found.id)
    return kept_code(context, invitation, caller.address)


def invitations(context: Context, caller: Caller, group: str) -> Invitations:
    """The invitations into a group that hold.

    Raises:
        Unknown: There is no such group, or somebody else coaches it.
    """
    found, now = own_group(context, caller, group), context.clock()
    with context.store.people_reading() as reading:
        codes = [one for one in reading.codes_of(found.id) if holds(one, now)]
    return Invitations(tuple(Invitation(one.uses, one.made_at, one.ends_at) for one in codes))


def end_invitations(context: Context, caller: Caller, group: str) -> None:
    """End every invitation into a group.

    Raises:
        Unknown: There is no such group, or somebody else coaches it.
    """
    found = own_group(context, caller, group)
    with context.store.people_writing() as writing:
        if writing.codes_of(found.id):
            writing.drop_codes_of(found.id)
            ended = SignIn(context.clock(), "code", "all codes ended", caller.person, "", caller.address)
            writing.add_sign_in("", ended, MOST_SIGN_INS)


def invite_coach(context: Context, name: str) -> PairingCode:
    """Make an invitation by which somebody comes to coach groups; for whoever runs the service.

    Raises:
        Malformed: The name says nothing, or is too long.
    """
    called = _called(name, "the coach")
    return kept_code(context, Code("", "coach", "", "", 1, 0, *_now(context), name=called), "")


def invite_home(context: Context, name: str) -> PairingCode:
    """Make an invitation for one new household that is in no group; for whoever runs the service.

    Raises:
        Malformed: The name says nothing, or is too long.
    """
    called = _called(name, "the household")
    return kept_code(context, Code("", "household", "", "", 1, 0, *_now(context), name=called), "")


def own_group(context: Context, caller: Caller, group: str) -> Group:
    """A group of the one who asks.

    Raises:
        Unknown: There is none, or somebody else coaches it; which of the two is not told.
    """
    if caller.coaches:
        with context.store.coaching_reading() as reading:
            found = reading.group(group)
        if found is not None and found.coach == caller.person:
            return found
    raise Unknown(NO_GROUP)


def _now(context: Context) -> tuple[datetime, datetime]:
    """When an invitation is made, and when it is over."""
    now = context.clock()
    return now, now + timedelta(days=DAYS)


def _called(name: str, whose: str) -> str:
    called = tidy_name(name)
    if not called:
        raise Malformed(NO_NAME.format(whose=whose))
    return called
