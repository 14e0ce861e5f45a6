"""The households somebody belongs to, and the one that a device asks about."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.errors import NotAllowed, Unknown
from coach.household.people_answers import Home, Homes

if TYPE_CHECKING:
    from coach.ground.people import Caller, Role
    from coach.ground.ports import Context

NOT_YOURS = "There is no such household, or it is not yours."
NAMELESS = "A household without a name"
NO_SESSION = "Only a browser or a program that was let in chooses a household."


def role_in(context: Context, household: str, person: str) -> Role | None:
    """What somebody is in a household; None: they do not belong to it."""
    with context.store.people_reading() as reading:
        return reading.role_of(household, person)


def homes(context: Context, caller: Caller) -> Homes:
    """The households of the one who asks, in the order in which they joined them."""
    with context.store.people_reading() as reading:
        found = reading.homes_of(caller.person)
    return Homes(
        tuple(
            Home(one.household, name_of(context, one.household), one.role, one.household == caller.household)
            for one in found
        )
    )


def name_of(context: Context, household: str) -> str:
    """What a household is called."""
    with context.store.reading(household) as reading:
        enrolment = reading.enrolment()
    return (enrolment and enrolment.name) or NAMELESS


def choose(context: Context, caller: Caller, household: str) -> Homes:
    """Let the device that asks be about another household from now on.

    Raises:
        Unknown: The one who asks does not belong to it, or there is none.
        NotAllowed: Nothing was let in that could remember it.
    """
    session = caller.session
    if session is None:
        raise NotAllowed(NO_SESSION)
    with context.store.people_writing() as writing:
        if writing.role_of(household, caller.person) is None:
            raise Unknown(NOT_YOURS)
        writing.choose(session.id, household)
        found = writing.homes_of(caller.person)
    named = ((one, name_of(context, one.household)) for one in found)
    return Homes(
        tuple(Home(one.household, name, one.role, one.household == household) for one, name in named)
    )
