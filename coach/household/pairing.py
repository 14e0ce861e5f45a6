"""Pairing: a short code that a member makes, and the device that is let in with it."""

from __future__ import annotations

import secrets
from dataclasses import dataclass
from datetime import timedelta
from hashlib import scrypt
from typing import TYPE_CHECKING

from coach.errors import Malformed, NotAllowed, TooOften, WrongCode
from coach.ground.people import KEEPER, MEMBER, Code, SignIn
from coach.household.answers import Paired, PairingCode
from coach.household.devices import new_secret, new_session

if TYPE_CHECKING:
    from datetime import datetime

    from coach.ground.people import Caller, Kind, Member, PeopleWriting
    from coach.ground.ports import Context

ALPHABET = "BCDFGHJKLMNPQRSTVWXZ"
"""Twenty letters that make no words and are not mistaken for figures (RFC 8628 §6.1)."""

LETTERS = 8
MINUTES = 10
"""How long a pairing code holds."""

WRONG_TRIES = 5
"""So many wrong codes end every code that holds (RFC 8628 §5.1: at most 2⁻³² of a chance with 8 letters)."""

FROM_ONE_ADDRESS = 10
"""So many wrong codes from one address, and it has to wait."""

ADDRESS_SPAN = timedelta(minutes=10)
"""Within this time they are counted, and so long it waits."""

MOST_CODES = 10
"""Codes into a household that hold at the same time; one more ends the oldest."""

MOST_SIGN_INS = 500
"""What is remembered of what happened at the door."""

LONGEST_NAME = 60
"""Characters of a person's or a device's name."""

DEVICE = "A device"
WRONG = "This code does not fit: it is wrong, used already, or older than 10 minutes. Make a new one."
NO_NAME = "Say who you are: one of the household's names, or a new one."


@dataclass(frozen=True, slots=True)
class Pairing:
    """What somebody brings who wants to be let in.

    Attributes:
        code: As it was typed.
        name: Who they say they are.
        device: What the device is to be called.
        kind: A browser, or a program that wants a token.
    """

    code: str
    name: str = ""
    device: str = ""
    kind: Kind = "browser"


def new_code(context: Context, caller: Caller, *, for_me: bool = False) -> PairingCode:
    """Make a pairing code.

    Args:
        context: Store and clock.
        caller: Who makes it.
        for_me: Whether it is for another device of theirs, and for nobody else.
    """
    code, now = "".join(secrets.choice(ALPHABET) for _ in range(LETTERS)), context.clock()
    ends = now + timedelta(minutes=MINUTES)
    person = caller.person if for_me else ""
    made = Code(caller.household, "pairing", person, caller.person, 1, 0, now, ends)
    kept = code_hash(code)
    with context.store.people_writing() as writing:
        writing.drop_codes(caller.household, now)
        writing.put_code(kept, made)
    return PairingCode(code, f"/pair#{code}", ends)


def code_hash(code: str) -> str:
    """A slow hash of a code, so that whoever reads the database cannot try all codes there are."""
    return scrypt(code.encode(), salt=b"steading code", n=2**14, r=8, p=1).hex()


def typed(code: str) -> str:
    """A code as it was made: capital letters, without what people type between them."""
    return "".join(letter for letter in code.upper() if letter.isalnum())[: 4 * LETTERS]


def pair(context: Context, household: str, wanted: Pairing, address: str) -> Paired:
    """Let a device in.

    Raises:
        WrongCode: The code is wrong, used, over, or too many wrong ones were tried.
        TooOften: Too many wrong codes came from that address.
        NotAllowed: The code is somebody's who may not let a keeper in.
        Malformed: Nobody is named.
    """
    now, kept = context.clock(), code_hash(typed(wanted.code))
    with context.store.people_writing() as writing:
        wait = _wait(writing, address, now)
        code = None if wait else _usable(writing, kept, now)
        if code is None:
            _count_wrong(writing, household, address, now, is_new=not wait)
        else:
            return _let_in(writing, code, kept, wanted, address, now)
    if wait:
        raise TooOften(
            f"Too many wrong codes came from this device. Wait {max(1, wait // 60)} min, then try again.",
            wait,
        )
    raise WrongCode(WRONG)


def _wait(writing: PeopleWriting, address: str, now: datetime) -> int:
    """For how many seconds an address has to wait; 0: not at all."""
    counted = writing.tally(_counted(address))
    if counted is None or counted[1] < FROM_ONE_ADDRESS or now - counted[0] >= ADDRESS_SPAN:
        return 0
    return max(1, int((counted[0] + ADDRESS_SPAN - now).total_seconds()))


def _counted(address: str) -> str:
    return f"pair {address}"


def _usable(writing: PeopleWriting, kept: str, now: datetime) -> Code | None:
    code = writing.code(kept)
    if code is None or code.uses < 1 or code.ends_at <= now or code.wrong >= WRONG_TRIES:
        return None
    return code


def _count_wrong(
    writing: PeopleWriting, household: str, address: str, now: datetime, *, is_new: bool
) -> None:
    """Count a wrong code; one that had to wait anyway counts no more, and is not written down again."""
    if not is_new:
        return
    writing.drop_tallies(now - ADDRESS_SPAN)
    since, count = writing.tally(_counted(address)) or (now, 0)
    writing.put_tally(_counted(address), since, count + 1)
    writing.wrong(household, now)
    happened = SignIn(now, "pairing", "wrong code", address=address)
    writing.add_sign_in(household, happened, MOST_SIGN_INS)


def _let_in(
    writing: PeopleWriting, code: Code, kept: str, wanted: Pairing, address: str, now: datetime
) -> Paired:
    member = _member(writing, code, wanted.name, now)
    device = _name(wanted.device) or DEVICE
    secret, hashed = new_secret()
    session = new_session(code.household, member.person, device, now, wanted.kind)
    writing.add_session(hashed, session)
    writing.drop_code(kept)
    happened = SignIn(now, code.kind, "let in", member.person, device, address)
    writing.add_sign_in(code.household, happened, MOST_SIGN_INS)
    return Paired(code.household, member.person, member.name, secret, session)


def _member(writing: PeopleWriting, code: Code, name: str, now: datetime) -> Member:
    """The member who pairs: the one the code is for, the one of that name, or somebody new."""
    members = writing.members(code.household)
    if code.person:
        found = next((one for one in members if one.person == code.person), None)
        if found is None:
            raise WrongCode(WRONG)
        return found
    name = _name(name)
    if not name:
        raise Malformed(NO_NAME)
    same = next((one for one in members if one.name.casefold() == name.casefold()), None)
    if same is None:
        return _new_member(writing, code.household, name, KEEPER if not members else MEMBER, now)
    maker = next((one for one in members if one.person == code.made_by), None)
    if same.role == KEEPER and maker is not None and maker.role != KEEPER and maker != same:
        raise NotAllowed(
            f"{same.name} looks after this household, so only a keeper makes a code for {same.name}."
        )
    return same


def _new_member(writing: PeopleWriting, household: str, name: str, role: str, now: datetime) -> Member:
    person = secrets.token_urlsafe(9)
    writing.add_person(person, name, now)
    writing.put_member(household, person, role, now)  # type: ignore[arg-type]  # one of the two
    return next(one for one in writing.members(household) if one.person == person)


def _name(text: str) -> str:
    """A name on one line, without what stands around it."""
    return " ".join(text.split())[:LONGEST_NAME]
