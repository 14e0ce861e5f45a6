"""What is paired with a household: listed, renamed and ended; and what happened at its door."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.errors import Malformed, NotAllowed, Unknown
from coach.ground.people import SignIn
from coach.household.codes import MOST_SIGN_INS
from coach.household.devices import holds
from coach.household.names import tidy_name
from coach.household.people_answers import AtTheDoor, Device, Devices

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from coach.ground.people import Caller, Kind, Member, PeopleReading, PeopleWriting, Session
    from coach.ground.ports import Context

MOST_SHOWN = 50
"""What a page shows of what happened at the door."""

NOT_YOURS = "This is somebody else's. Only a keeper of the household ends it."
NOT_THERE = "It is not let in any more. Open the page again to see what is."
NO_NAME = "Write what the device is to be called."
_WAYS = {"browser": "device", "program": "token"}


def devices(context: Context, caller: Caller) -> Devices:
    """The devices that are let in: for a keeper all of the household's, for a member their own."""
    with context.store.people_reading() as reading:
        return Devices(tuple(_listed(context, reading, caller, "browser")))


def _listed(context: Context, reading: PeopleReading, caller: Caller, kind: Kind) -> Iterator[Device]:
    now, names = context.clock(), names_of(reading.members(caller.household))
    if caller.person:
        names.setdefault(caller.person, caller.name)
    for one in _within_reach(reading, caller):
        theirs = caller.is_keeper or one.person == caller.person
        if one.kind == kind and theirs and one.person in names and holds(one, now):
            this = caller.session is not None and caller.session.id == one.id
            # What is just asking is seen now, though that is written down at most hourly.
            seen = now if this else one.seen_at
            yield Device(
                one.id, one.name, one.person, names[one.person], one.made_at, seen, one.ends_at, this
            )


def _within_reach(reading: PeopleReading, caller: Caller) -> list[Session]:
    """A household's devices and programs, and those of the one who asks that are let in elsewhere."""
    here = list(reading.sessions(caller.household)) if caller.household else []
    own = reading.sessions_of(caller.person) if caller.person else []
    return here + [one for one in own if one.household != caller.household or not caller.household]


def belongs(reading: PeopleReading, household: str, person: str) -> bool:
    """Whether somebody belongs to a household still; the household alone, who is nobody, always does."""
    return not person or person in names_of(reading.members(household))


def names_of(members: Iterable[Member]) -> dict[str, str]:
    """What members are called, by their keys."""
    return {one.person: one.name for one in members}


def rename(context: Context, caller: Caller, device: str, name: str) -> None:
    """Call a device something else.

    Raises:
        Unknown: There is none of that id.
        NotAllowed: It is somebody else's, and the one who asks is no keeper.
        Malformed: The name says nothing, or is too long.
    """
    called = tidy_name(name, "A device's name")
    if not called:
        raise Malformed(NO_NAME)
    with context.store.people_writing() as writing:
        found = _theirs(writing, caller, device)
        writing.name_session(found.household, device, called)


def end(context: Context, caller: Caller, device: str, kind: Kind = "browser") -> None:
    """End a device or a program; its next request is not answered any more.

    Raises:
        Unknown: There is none of that id.
        NotAllowed: It is somebody else's, and the one who asks is no keeper.
    """
    with context.store.people_writing() as writing:
        _end(context, writing, caller, _theirs(writing, caller, device, kind))


def end_others(context: Context, caller: Caller) -> None:
    """End every other device: for a keeper all of the household's, for a member their own."""
    with context.store.people_writing() as writing:
        for one in _within_reach(writing, caller):
            theirs = caller.is_keeper or one.person == caller.person
            this = caller.session is not None and one.id == caller.session.id
            if one.kind == "browser" and theirs and not this:
                _end(context, writing, caller, one)


def sign_out(context: Context, caller: Caller) -> None:
    """End what the one who asks was let in by; nothing on the machine itself."""
    if caller.session is None:
        return
    with context.store.people_writing() as writing:
        _end(context, writing, caller, caller.session)


def at_the_door(context: Context, caller: Caller, most: int = MOST_SHOWN) -> tuple[AtTheDoor, ...]:
    """What happened at the household's door lately, the newest first; for keepers.

    Raises:
        NotAllowed: The one who asks is no keeper.
    """
    if not caller.is_keeper:
        raise NotAllowed("Only a keeper of the household sees what happened at its door.")
    with context.store.people_reading() as reading:
        names = names_of(reading.members(caller.household))
        return tuple(
            AtTheDoor(one.at, one.way, one.outcome, names.get(one.person, ""), one.name, one.address)
            for one in reading.sign_ins(caller.household, most)
        )


def _theirs(reading: PeopleReading, caller: Caller, session: str, kind: Kind = "browser") -> Session:
    found = next(
        (one for one in _within_reach(reading, caller) if (one.id, one.kind) == (session, kind)), None
    )
    if found is None:
        raise Unknown(NOT_THERE)
    if not caller.is_keeper and found.person != caller.person:
        raise NotAllowed(NOT_YOURS)
    return found


def _end(context: Context, writing: PeopleWriting, caller: Caller, ended: Session) -> None:
    writing.drop_session(ended.household, ended.id)
    way = _WAYS[ended.kind]
    happened = SignIn(context.clock(), way, "ended", caller.person, ended.name, caller.address)
    writing.add_sign_in(ended.household, happened, MOST_SIGN_INS)
