"""Pairing: who comes in by a code, and the device that is let in with it."""

from __future__ import annotations

import secrets
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from coach.errors import AskedOtherwise, Malformed, NotAllowed, WrongCode
from coach.ground.once import OTHERWISE
from coach.ground.people import KEEPER, MEMBER, SignIn
from coach.household.answers import Paired
from coach.household.codes import (
    LETTERS,
    MINUTES,
    MOST_SIGN_INS,
    code_hash,
    holds,
    kind_of,
    named_by,
    new_code,
    typed,
)
from coach.household.devices import (
    UNSEEN,
    hashed,
    named_id,
    new_session,
    opens_anything,
    secret_of,
    signed_in,
)
from coach.household.devices import holds as is_let_in
from coach.household.names import is_same, tidy_name
from coach.household.people_answers import Known, Names
from coach.household.tries import count_wrong, too_often, waiting

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from coach.ground.people import Caller, Code, Kind, Member, PeopleWriting, Role, Session
    from coach.ground.ports import Context

__all__ = ["LETTERS", "MINUTES", "Pairing", "names", "new_code", "pair"]

MOST_MEMBERS = 50
"""People of a household."""

MOST_DEVICES = 100
"""Devices and programs that are let into a household at the same time."""

DEVICE = "A device"
WRONG = "This code does not fit: it is wrong, used already, or too old. Ask for a new one."
ENROL = "This invitation begins a new household. Open the page /enrol with it, or ask /api/enrol."
NOT_YOU = "You can be whom this browser is let in for, or somebody new."
NO_NAME_OF_YOURS = "Say who you are, by a name."
NO_NAME = "Say who you are: one of the household's names, or a new one."


@dataclass(frozen=True, slots=True)
class Pairing:
    """What somebody brings who wants to be let in.

    Attributes:
        code: As it was typed.
        name: Who they say they are, by a name.
        device: What the device is to be called.
        kind: A browser, or a program that wants a token.
        person: Who they say they are, by the key of one of the household's people; it counts before the name.
        once: Names the request, so that it lets in once and is answered the same when it is sent again.
        asked: SHA-256 of what is asked under that name; none: whatever is asked under it is answered.
    """

    code: str
    name: str = ""
    device: str = ""
    kind: Kind = "browser"
    person: str = ""
    once: str = ""
    asked: str = ""


def names(context: Context, caller: Caller, code: str) -> Names:
    """Whom one can say one is, for somebody who has a code that fits; it is not used up.

    Raises:
        WrongCode: It is wrong, used, over, or too many wrong ones were tried.
        TooOften: Too many wrong codes were tried.
    """
    now, letters = context.clock(), typed(code)
    kept = kept_hash(context, caller, letters, now)
    with context.store.people_writing() as writing:
        found = usable(writing, caller, kept, now)
        if found is not None:
            return Names(_known(writing, caller, found), bool(found.person), found.kind, found.name)
        count_wrong(writing, caller, kind_of(letters), now, named_by(context, letters))
    raise WrongCode(WRONG)


def _known(writing: PeopleWriting, caller: Caller, code: Code) -> tuple[Known, ...]:
    """Whom one can say one is by a code; what leads into no household, whom the browser is let in for."""
    if code.household:
        return tuple(Known(one.person, one.name) for one in _choices(writing, code))
    if code.person:
        return tuple(Known(one.person, one.name) for one in writing.everybody() if one.person == code.person)
    return (Known(caller.person, caller.name),) if caller.session is not None else ()


def pair(context: Context, caller: Caller, wanted: Pairing) -> Paired:
    """Let a device in.

    Args:
        context: Store and clock.
        caller: Who asks. A browser that was let in before is let in anew, and what it showed so far ends.
        wanted: What they bring.

    Raises:
        WrongCode: The code is wrong, used, over, or too many wrong ones were tried.
        TooOften: Too many wrong codes were tried.
        NotAllowed: The code is somebody's who may not let a keeper in, or the household is full.
        Malformed: Nobody is named, or a name is too long.
        AskedOtherwise: The code has let in another request of that name.
    """
    now, letters = context.clock(), typed(wanted.code)
    secret, shown = secret_of(letters, wanted.once)
    again = let_in_before(context, wanted, secret, now) if wanted.once else None
    if again is not None:
        return again
    kept = kept_hash(context, caller, letters, now)
    with context.store.people_writing() as writing:
        code = usable(writing, caller, kept, now)
        if code is None:
            count_wrong(writing, caller, kind_of(letters), now, named_by(context, letters))
        else:
            paired = _let_in(writing, caller, code, wanted, now)
            if wanted.once and wanted.asked:
                paired = replace(paired, session=replace(paired.session, id=named_id(secret, wanted.asked)))
            writing.add_session(shown, paired.session)
            use_up(writing, code, kept)
            return replace(paired, secret=secret)
    raise WrongCode(WRONG)


def let_in_before(context: Context, wanted: Pairing, secret: str, now: datetime) -> Paired | None:
    """What the same request was answered with, if it is sent once more.

    Raises:
        AskedOtherwise: It was another request of the same name.
    """
    shown = context.store.shown(hashed(secret))
    if shown is None or not opens_anything(shown) or not is_let_in(shown.session, now):
        return None
    if wanted.asked and shown.session.id != named_id(secret, wanted.asked):
        raise AskedOtherwise(OTHERWISE)
    return Paired(shown.session.household, shown.session.person, shown.name, secret, shown.session)


def sent_before(context: Context, wanted: Pairing) -> Paired | None:
    """What the same request was answered with before; None: it was not, or has no name.

    Raises:
        AskedOtherwise: It was another request of the same name.
    """
    secret, _ = secret_of(typed(wanted.code), wanted.once)
    return let_in_before(context, wanted, secret, context.clock()) if wanted.once else None


def kept_hash(context: Context, caller: Caller, letters: str, now: datetime) -> str:
    """The hash under which a code would be kept.

    It is slow on purpose, so nobody makes us work for it who has to wait, or while no code holds at all:
    where many households are hosted, none that begins as this one does.

    Raises:
        TooOften: Too many wrong codes were tried.
    """
    with context.store.people_reading() as reading:
        if seconds := waiting(reading, caller.address, now):
            raise too_often(seconds)
        begins = named_by(context, letters)
        if begins is None:
            is_idle = not any(holds(one, now) for one in reading.codes(caller.household))
        else:
            named = reading.code_named(begins)
            is_idle = named is None or not holds(named, now)
    return "" if is_idle else code_hash(letters)


def usable(writing: PeopleWriting, caller: Caller, kept: str, now: datetime) -> Code | None:
    """The code, if it still lets somebody in; that of one who was taken out does not.

    Raises:
        TooOften: Too many wrong codes were tried while this one waited for its turn.
    """
    if seconds := waiting(writing, caller.address, now):
        raise too_often(seconds)
    code = writing.code(kept)
    if code is None or not holds(code, now):
        return None
    return code if _is_vouched_for(writing, code) else None


def _is_vouched_for(writing: PeopleWriting, code: Code) -> bool:
    """Whether whoever made a code may still let somebody in by it; whoever runs the service may."""
    if code.household:
        people = {one.person for one in writing.members(code.household)}
        return {code.made_by, code.person} - {""} <= people
    return not code.made_by or writing.is_coach(code.made_by)


def use_up(writing: PeopleWriting, code: Code, kept: str) -> None:
    if code.uses > 1:
        writing.put_code(kept, replace(code, uses=code.uses - 1))
    else:
        writing.drop_code(kept)


def _let_in(writing: PeopleWriting, caller: Caller, code: Code, wanted: Pairing, now: datetime) -> Paired:
    if code.kind == "household":
        raise Malformed(ENROL)
    device = tidy_name(wanted.device, "A device's name") or DEVICE
    writing.drop_over(code.household, now, now - UNSEEN)
    end_former(writing, caller, wanted)
    if code.kind == "coach":
        person, name = _coach(writing, caller, code, wanted, now)
        writing.put_coach(person, now)
        session = signed_in(writing, person, device, now, wanted.kind)
    else:
        _refuse_full(writing.sessions(code.household))
        member = _member(writing, code, wanted, now)
        person, name = member.person, member.name
        session = new_session(code.household, person, device, now, wanted.kind)
    happened = SignIn(now, code.kind, "let in", person, device, caller.address)
    writing.add_sign_in(session.household, happened, MOST_SIGN_INS)
    return Paired(session.household, person, name, "", session)


def _coach(
    writing: PeopleWriting, caller: Caller, code: Code, wanted: Pairing, now: datetime
) -> tuple[str, str]:
    """The coach who comes by a code: the one it was made for, or whoever says who they are."""
    found = next((one for one in writing.everybody() if one.person == code.person), None)
    return (found.person, found.name) if found else known_person(writing, caller, wanted, code.name, now)


def _refuse_full(sessions: Sequence[Session]) -> None:
    if len(sessions) >= MOST_DEVICES:
        raise NotAllowed(f"{MOST_DEVICES} devices are paired already. End one of them under Devices first.")


def known_person(
    writing: PeopleWriting, caller: Caller, wanted: Pairing, called: str, now: datetime
) -> tuple[str, str]:
    """Who comes by a code that leads into no household: whom their browser is let in for, or somebody new.

    Raises:
        Malformed: Nobody is named.
        NotAllowed: They say that they are somebody else whom the service knows, or too much is let in.
    """
    if wanted.person:
        if caller.session is None or wanted.person != caller.person:
            raise NotAllowed(NOT_YOU)
        _refuse_full(writing.sessions_of(caller.person))
        return caller.person, caller.name
    name = tidy_name(wanted.name) or called
    if not name:
        raise Malformed(NO_NAME_OF_YOURS)
    person = secrets.token_urlsafe(9)
    writing.add_person(person, name, now)
    return person, name


def end_former(writing: PeopleWriting, caller: Caller, wanted: Pairing) -> None:
    """End what the browser showed so far, since it keeps one thing to show."""
    former = caller.session
    if former is not None and former.kind == wanted.kind == "browser":
        writing.drop_session(former.household, former.id)


def _choices(writing: PeopleWriting, code: Code) -> list[Member]:
    """Whom one can say one is by a code: the one it is for, or all whom its maker may let in."""
    members = list(writing.members(code.household))
    if code.person:
        return [one for one in members if one.person == code.person]
    maker = next((one for one in members if one.person == code.made_by), None)
    return [one for one in members if _may_let_in(maker, one)]


def _may_let_in(maker: Member | None, wanted: Member) -> bool:
    return maker is None or maker.role == KEEPER or wanted.role != KEEPER or maker.person == wanted.person


def _member(writing: PeopleWriting, code: Code, wanted: Pairing, now: datetime) -> Member:
    """The member who pairs: the one the code is for, the one of that key or name, or somebody new."""
    members = writing.members(code.household)
    if code.person:
        return next(one for one in members if one.person == code.person)
    name = tidy_name(wanted.name)
    if wanted.person:
        found = next((one for one in members if one.person == wanted.person), None)
    else:
        found = next((one for one in members if is_same(one.name, name)), None)
    if found is None and not name:
        raise Malformed(NO_NAME)
    if found is None:
        return _new_member(writing, code.household, name, KEEPER if not members else MEMBER, now)
    if found not in _choices(writing, code):
        raise NotAllowed(
            f"{found.name} looks after this household, so only a keeper makes a code for {found.name}."
        )
    return found


def _new_member(writing: PeopleWriting, household: str, name: str, role: Role, now: datetime) -> Member:
    if len(writing.members(household)) >= MOST_MEMBERS:
        raise NotAllowed(f"A household has at most {MOST_MEMBERS} people. Take one out under People first.")
    person = secrets.token_urlsafe(9)
    writing.add_person(person, name, now)
    writing.put_member(household, person, role, now)
    return next(one for one in writing.members(household) if one.person == person)
