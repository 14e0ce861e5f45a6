"""Passkeys: added from a device that is let in, listed, renamed and removed."""

from __future__ import annotations

import secrets
from datetime import timedelta
from hashlib import sha256
from typing import TYPE_CHECKING, Any

from coach.errors import Malformed, NotAllowed, NotEditable, Unknown, WrongPasskey
from coach.ground.passkeys import Ceremony, Passkey
from coach.ground.people import SignIn
from coach.household import ceremonies
from coach.household.codes import MOST_SIGN_INS
from coach.household.confirming import is_confirmed, refuse_nobody, refuse_unless_confirmed
from coach.household.names import tidy_name
from coach.household.tries import count_asked
from coach.household.ways_in_answers import PasskeyShown, SheetShown, WaysIn

if TYPE_CHECKING:
    from collections.abc import Mapping

    from coach.ground.passkeys import CeremonyKind
    from coach.ground.people import Caller, PeopleReading, PeopleWriting
    from coach.ground.ports import Context
    from coach.household.ceremonies import RelyingParty

ASKED_FOR = timedelta(minutes=5)
"""So long a device has for an answer."""

MOST_ASKED = 10_000
"""Answers that are waited for at the same time; one more, and what ends first is waited for no more."""

MOST_PASSKEYS = 20
"""Passkeys of a person."""

CHALLENGE_BYTES = 32
"""Random bytes that a device signs."""

FIRST_NAME = "Passkey"
TOO_LATE = (
    "This answer comes too late, or for the second time. Let the browser ask for the passkey once more."
)
NOT_THERE = "There is no such passkey of yours. Open the page again to see those there are."
NO_NAME = "Write what the passkey is to be called."
KNOWN = "This passkey is kept here already."
LAST = (
    "This is your last passkey, and you have no recovery sheet: once no device of yours is let in any more, "
    "you come in by somebody else's invitation alone. Print a recovery sheet first, or say that it is to go "
    "all the same."
)


def has_passkey(reading: PeopleReading, person: str) -> bool:
    """Whether somebody has a passkey, as a coach must before a group opens."""
    return bool(reading.passkeys(person))


def ways_in(context: Context, caller: Caller, why_not: str = "") -> WaysIn:
    """Somebody's passkeys and recovery sheet.

    Args:
        context: Store and clock.
        caller: Who asks; one who is nobody in particular has none.
        why_not: Why passkeys are not to be had at this address; empty: they are.
    """
    now = context.clock()
    with context.store.people_reading() as reading:
        found = reading.passkeys(caller.person) if caller.person else ()
        sheet = reading.sheet(caller.person) if caller.person else None
    return WaysIn(
        tuple(_shown(one) for one in found),
        None if sheet is None else SheetShown(sheet.made_at, sheet.left),
        is_confirmed(caller, now),
        not why_not,
        why_not,
    )


def _shown(one: Passkey) -> PasskeyShown:
    used = one.seen_at if one.seen_at > one.made_at else None
    return PasskeyShown(one.credential, one.name, one.made_at, used)


def begin(context: Context, caller: Caller, party: RelyingParty) -> dict[str, Any]:
    """What a browser is given to make a passkey with.

    Raises:
        NotEditable: Nobody in particular asks.
        NotAllowed: A program asks, or there are as many passkeys as a person may have.
        ConfirmFirst: They were let in too long ago.
        TooOften: That was done too often from their address.
    """
    now, challenge = context.clock(), secrets.token_bytes(CHALLENGE_BYTES)
    refuse_unless_confirmed(caller, now)
    with context.store.people_writing() as writing:
        count_asked(writing, caller.address, now)
        others = writing.passkeys(caller.person)
        _refuse_more(len(others))
        ask(writing, challenge, Ceremony("add", caller.person, now + ASKED_FOR))
    person = (caller.person, caller.name)
    return ceremonies.creation_options(party, person, others, challenge, ASKED_FOR)


def ask(writing: PeopleWriting, challenge: bytes, ceremony: Ceremony) -> None:
    """Wait for a device's answer, and no more for those that did not come."""
    writing.drop_ceremonies(ceremony.ends_at - ASKED_FOR)
    writing.add_ceremony(_hashed(challenge), ceremony, MOST_ASKED)


def taken(context: Context, kind: CeremonyKind, challenge: bytes, person: str = "") -> bool:
    """Whether a device was asked to sign this, by whom and for what; it is not waited for any more."""
    now = context.clock()
    with context.store.people_writing() as writing:
        found = writing.take_ceremony(_hashed(challenge))
    return found is not None and (found.kind, found.person) == (kind, person) and now < found.ends_at


def _hashed(challenge: bytes) -> str:
    return sha256(challenge).hexdigest()


def add(
    context: Context, caller: Caller, party: RelyingParty, answer: Mapping[str, Any], name: str = ""
) -> Passkey:
    """Keep the passkey that a device has made.

    Raises:
        NotEditable: Nobody in particular asks.
        NotAllowed: A program asks, or there are as many passkeys as a person may have.
        ConfirmFirst: They were let in too long ago.
        Malformed: It is no answer of a passkey, or the name is too long.
        WrongPasskey: The answer does not fit what was asked, or comes too late.
    """
    now = context.clock()
    refuse_unless_confirmed(caller, now)
    called = tidy_name(name, "A passkey's name") or FIRST_NAME
    said = ceremonies.said_by(answer)
    if not taken(context, "add", said.challenge, caller.person):
        raise WrongPasskey(TOO_LATE)
    made = ceremonies.added(party, answer, said.challenge)
    passkey = Passkey(made.credential, caller.person, made.public_key, made.counter, called, now, now)
    with context.store.people_writing() as writing:
        _refuse_more(len(writing.passkeys(caller.person)))
        if writing.passkey(passkey.credential) is not None:
            raise NotEditable(KNOWN)
        writing.add_passkey(passkey)
        tell(context, writing, caller, "added", called)
    return passkey


def _refuse_more(number: int) -> None:
    if number >= MOST_PASSKEYS:
        raise NotAllowed(
            f"You have {MOST_PASSKEYS} passkeys, which is as many as there can be. Remove one first."
        )


def rename(context: Context, caller: Caller, passkey: str, name: str) -> None:
    """Call one something else.

    Raises:
        NotEditable: Nobody in particular asks.
        NotAllowed: A program asks.
        Unknown: There is none of that id, or it is somebody else's.
        Malformed: The name says nothing, or is too long.
    """
    refuse_nobody(caller)
    called = tidy_name(name, "A passkey's name")
    if not called:
        raise Malformed(NO_NAME)
    with context.store.people_writing() as writing:
        _theirs(writing, caller, passkey)
        writing.name_passkey(caller.person, passkey, called)


def remove(context: Context, caller: Caller, passkey: str, *, last: bool = False) -> None:
    """Remove one; nobody signs in with it any more. The devices that are let in stay so.

    Args:
        context: Store and clock.
        caller: Whose it is.
        passkey: Which.
        last: Whether it may be the last one of somebody who has no recovery sheet.

    Raises:
        NotEditable: Nobody in particular asks, or it is the last, and nobody said that it may be.
        NotAllowed: A program asks.
        ConfirmFirst: They were let in too long ago.
        Unknown: There is none of that id, or it is somebody else's.
    """
    refuse_nobody(caller)
    with context.store.people_writing() as writing:
        found = _theirs(writing, caller, passkey)
        refuse_unless_confirmed(caller, context.clock())
        if not last and is_last(writing, caller.person):
            raise NotEditable(LAST)
        writing.drop_passkey(caller.person, passkey)
        tell(context, writing, caller, "removed", found.name)


def is_last(reading: PeopleReading, person: str) -> bool:
    """Whether somebody has one passkey and no recovery sheet."""
    return len(reading.passkeys(person)) == 1 and reading.sheet(person) is None


def _theirs(reading: PeopleReading, caller: Caller, passkey: str) -> Passkey:
    found = reading.passkey(passkey)
    if found is None or found.person != caller.person:
        raise Unknown(NOT_THERE)
    return found


def tell(
    context: Context, writing: PeopleWriting, caller: Caller, outcome: str, name: str, way: str = "passkey"
) -> None:
    """Write down at the door what somebody changed about their ways in."""
    happened = SignIn(context.clock(), way, outcome, caller.person, name, caller.address)
    writing.add_sign_in(caller.household, happened, MOST_SIGN_INS)
