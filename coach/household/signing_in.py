"""Signing in by a passkey; for one who is let in already it confirms that it is them."""

from __future__ import annotations

import secrets
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from coach.errors import WrongPasskey
from coach.ground.passkeys import Ceremony
from coach.ground.people import SignIn
from coach.household import ceremonies
from coach.household.admitting import Proven, admit, admitted_before, door_of
from coach.household.codes import MOST_SIGN_INS
from coach.household.devices import secret_of
from coach.household.passkeys import ASKED_FOR, CHALLENGE_BYTES, TOO_LATE, ask, taken
from coach.household.tries import count_asked, count_refused, too_often, waiting

if TYPE_CHECKING:
    from collections.abc import Mapping

    from coach.ground.passkeys import Passkey
    from coach.ground.people import Caller
    from coach.ground.ports import Context
    from coach.household.answers import Paired
    from coach.household.ceremonies import RelyingParty
    from coach.household.tries import WayIn

WAY: WayIn = "passkey"
UNKNOWN = (
    "This passkey is not kept here: it was removed, or made for another service. Come in another way, "
    "and add it anew."
)


def begin(context: Context, caller: Caller, party: RelyingParty) -> dict[str, Any]:
    """What a browser is given to ask for a passkey with.

    Raises:
        TooOften: It was asked for too often from this address, or too many wrong answers came from there.
    """
    now, challenge = context.clock(), secrets.token_bytes(CHALLENGE_BYTES)
    with context.store.people_writing() as writing:
        if seconds := waiting(writing, caller.address, now):
            raise too_often(seconds)
        count_asked(writing, caller.address, now)
        ask(writing, challenge, Ceremony("sign in", "", now + ASKED_FOR))
    return ceremonies.request_options(party, challenge, ASKED_FOR)


@dataclass(frozen=True, slots=True)
class SigningIn:
    """What somebody brings who signs in by a passkey.

    Attributes:
        answer: What the browser says that the passkey answered.
        device: What the device is to be called.
        once: Names the request, so that it is answered the same when it is sent again.
        asked: What is asked under that name; none: whatever is asked under it is answered.
    """

    answer: Mapping[str, Any]
    device: str = ""
    once: str = ""
    asked: str = ""


def sign_in(context: Context, caller: Caller, party: RelyingParty, wanted: SigningIn) -> Paired:
    """Let somebody in by what their passkey answers.

    Args:
        context: Store and clock.
        caller: Who asks. A browser that was let in before is let in anew, and what it showed so far ends.
        party: For whom the passkey signed.
        wanted: What they bring.

    Raises:
        Malformed: It is no answer of a passkey, or the name is too long.
        WrongPasskey: It proves nothing, comes too late, or its counter went back.
        TooOften: Too many wrong answers came.
        NotAllowed: As many devices are let in as there can be.
        AskedOtherwise: The answer has let in another request of that name.
    """
    said = ceremonies.said_by(wanted.answer)
    secret = secret_of(said.challenge.hex(), wanted.once)
    again = admitted_before(context, secret[0], wanted.once, wanted.asked, context.clock())
    if again is not None:
        return again
    _refuse_waiting(context, caller)
    in_time = taken(context, "sign in", said.challenge)
    with context.store.people_reading() as reading:
        passkey = reading.passkey(said.credential)
    if not in_time or passkey is None:
        raise _refused(context, caller, TOO_LATE if not in_time else UNKNOWN)
    try:
        counter = ceremonies.counted(party, wanted.answer, said.challenge, passkey)
    except WrongPasskey as error:
        raise _refused(context, caller, str(error)) from None
    paired = _let_in(context, caller, passkey, counter, wanted, secret)
    if paired is None:
        raise _refused(context, caller, UNKNOWN)
    return paired


def _let_in(
    context: Context,
    caller: Caller,
    passkey: Passkey,
    counter: int,
    wanted: SigningIn,
    secret: tuple[str, str],
) -> Paired | None:
    """Let in whose passkey it is; None: it is not kept any more, or they belong nowhere.

    Raises:
        WrongPasskey: Its counter went back.
        NotAllowed: As many devices are let in as there can be.
        Malformed: The device's name is too long.
    """
    now = context.clock()
    with context.store.people_writing() as writing:
        # Two answers may have been proved at once: each is held against what the other has left.
        kept = writing.passkey(passkey.credential)
        if kept is None:
            return None
        if ceremonies.goes_on(kept.counter, counter):
            writing.used_passkey(kept.credential, counter, now)
            asked = wanted.asked if wanted.once else ""
            proven = Proven(kept.person, WAY, "let in", wanted.device, asked=asked)
            return admit(writing, caller, proven, secret, now)
        refused = SignIn(now, WAY, "refused: its counter went back", kept.person, kept.name, caller.address)
        writing.add_sign_in(door_of(writing, kept.person), refused, MOST_SIGN_INS)
    raise WrongPasskey(ceremonies.WENT_BACK)


def _refuse_waiting(context: Context, caller: Caller) -> None:
    with context.store.people_reading() as reading:
        if seconds := waiting(reading, caller.address, context.clock()):
            raise too_often(seconds)


def _refused(context: Context, caller: Caller, why: str) -> WrongPasskey:
    """Why an answer lets nobody in; it is counted and written down."""
    with context.store.people_writing() as writing:
        count_refused(writing, caller, WAY, context.clock())
    return WrongPasskey(why)
