"""The people of a household: their names, what they may do, and how one is taken out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.errors import Malformed, NotAllowed, NotEditable, Unknown
from coach.ground.people import KEEPER, SignIn
from coach.household.codes import MOST_SIGN_INS
from coach.household.names import is_same, tidy_name
from coach.household.people_answers import People, Person

if TYPE_CHECKING:
    from coach.ground.people import Caller, Member, PeopleReading, PeopleWriting, Role
    from coach.ground.ports import Context

NO_NAME = "Write a name."
NOT_THERE = "There is nobody of that key in this household."
ONLY_KEEPERS = "Only a keeper of the household changes this."
LAST = (
    "{name} is the only keeper, and a household always has one. "
    "Make somebody else keeper first, then try again."
)


def people(context: Context, caller: Caller) -> People:
    """Who belongs to the household, in the order in which they joined."""
    with context.store.people_reading() as reading:
        return _people(reading, caller)


def _people(reading: PeopleReading, caller: Caller) -> People:
    return People(
        tuple(
            Person(one.person, one.name, one.role, one.since, one.person == caller.person)
            for one in reading.members(caller.household)
        )
    )


def change(
    context: Context, caller: Caller, person: str, name: str | None = None, role: Role | None = None
) -> People:
    """Call somebody something else, or let them be keeper or member; what is not named stays.

    Raises:
        Unknown: Nobody of that key belongs to the household.
        NotAllowed: Somebody else's name, or what somebody may do, is changed by one who is no keeper.
        Malformed: The name says nothing, is too long, or another one has it.
        NotEditable: It is the last keeper who is to be one no more.
    """
    with context.store.people_writing() as writing:
        found = _found(writing, caller, person)
        if not caller.is_keeper and (role is not None or found.person != caller.person):
            raise NotAllowed(ONLY_KEEPERS)
        if name is not None:
            _rename(context, writing, caller, found, name)
        if role is not None and role != found.role:
            _let_be(context, writing, caller, found, role)
        return _people(writing, caller)


def remove(context: Context, caller: Caller, person: str) -> People:
    """Take somebody out: their devices and tokens end at once, and what they marked keeps their name.

    Raises:
        Unknown: Nobody of that key belongs to the household.
        NotAllowed: The one who asks is no keeper.
        NotEditable: It is the last keeper.
    """
    if not caller.is_keeper:
        raise NotAllowed(ONLY_KEEPERS)
    with context.store.people_writing() as writing:
        found = _found(writing, caller, person)
        _refuse_last(writing, caller, found)
        writing.drop_member(caller.household, person)
        writing.forget_person(person)
        _tell(context, writing, caller, "taken out", found.name)
        return _people(writing, caller)


def _found(reading: PeopleReading, caller: Caller, person: str) -> Member:
    found = next((one for one in reading.members(caller.household) if one.person == person), None)
    if found is None:
        raise Unknown(NOT_THERE)
    return found


def _rename(context: Context, writing: PeopleWriting, caller: Caller, found: Member, name: str) -> None:
    called = tidy_name(name)
    if not called:
        raise Malformed(NO_NAME)
    others = (one for one in writing.members(caller.household) if one.person != found.person)
    if any(is_same(one.name, called) for one in others):
        raise Malformed(f"Somebody here is called {called} already. Choose a name that tells the two apart.")
    if called != found.name:
        writing.rename(found.person, called)
        # What pages show of their people is as new as what they are.
        writing.put_member(caller.household, found.person, found.role, found.since)
        _tell(context, writing, caller, "called something else", called)


def _let_be(context: Context, writing: PeopleWriting, caller: Caller, found: Member, role: Role) -> None:
    _refuse_last(writing, caller, found)
    writing.put_member(caller.household, found.person, role, found.since)
    _tell(context, writing, caller, f"made {role}", found.name)


def _refuse_last(reading: PeopleReading, caller: Caller, found: Member) -> None:
    keepers = [one.person for one in reading.members(caller.household) if one.role == KEEPER]
    if keepers == [found.person]:
        raise NotEditable(LAST.format(name=found.name))


def _tell(context: Context, writing: PeopleWriting, caller: Caller, outcome: str, name: str) -> None:
    happened = SignIn(context.clock(), "person", outcome, caller.person, name, caller.address)
    writing.add_sign_in(caller.household, happened, MOST_SIGN_INS)
