"""Tokens for programs: made by a member, with a name and an end, shown once."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING

from coach.errors import Malformed, NotAllowed
from coach.ground.people import SignIn
from coach.household.codes import MOST_SIGN_INS
from coach.household.devices import LONGEST, UNSEEN, holds, new_secret, new_session
from coach.household.names import tidy_name
from coach.household.paired import end as end_session
from coach.household.paired import names_of
from coach.household.pairing import MOST_DEVICES
from coach.household.people_answers import NewToken, Token, Tokens
from coach.progress.days import FIRST_ZONE, place_of

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo

    from coach.ground.people import Caller, PeopleReading, Scope, Session
    from coach.ground.ports import Context

NO_HOUSEHOLD = "A token is for one household, and you belong to none here."
NO_NAME = "Write what the token is for, so that you know it again."
NOBODY = (
    "A token is somebody's. Nobody is named in this household yet: pair a device first, and whoever pairs "
    "says who they are."
)
WHOSE = "Say whose the token is: on Steading's own machine nobody in particular asks."
THEIRS = "A token is made for oneself."


def tokens(context: Context, caller: Caller) -> Tokens:
    """The tokens that hold: for a keeper all of the household's, for a member their own."""
    with context.store.people_reading() as reading:
        names = names_of(reading.members(caller.household))
        found = [
            _token(one, names[one.person])
            for one in reading.sessions(caller.household)
            if one.kind == "program"
            and one.person in names
            and (caller.is_keeper or one.person == caller.person)
            and holds(one, context.clock())
        ]
    return Tokens(tuple(found))


def _token(one: Session, name: str) -> Token:
    return Token(one.id, one.name, one.scope, one.person, name, one.made_at, one.seen_at, one.ends_at)


def new_token(
    context: Context, caller: Caller, name: str, scope: Scope, until: date | None = None, person: str = ""
) -> NewToken:
    """Make a token; what it shows is in the answer and nowhere else.

    Args:
        context: Store and clock.
        caller: Who makes it.
        name: What it is for.
        scope: `read` or `write`.
        until: The last date on which it holds; none: as long as it may.
        person: Whose it is, where Steading's own machine asks.

    Raises:
        Malformed: The name says nothing or is too long, the date has passed or is more than a year away, or
            nobody says whose it is.
        NotAllowed: It is to be somebody else's, too many are let in already, or the one who asks
            belongs to no household.
    """
    called, now = tidy_name(name, "A token's name"), context.clock()
    if not called:
        raise Malformed(NO_NAME)
    if not caller.household:
        raise NotAllowed(NO_HOUSEHOLD)
    ends = _ends(context, caller, until, now)
    secret, hashed = new_secret()
    with context.store.people_writing() as writing:
        writing.drop_over(caller.household, now, now - UNSEEN)
        if len(writing.sessions(caller.household)) >= MOST_DEVICES:
            raise NotAllowed(f"{MOST_DEVICES} devices and tokens are let in already. End one of them first.")
        owner = _owner(writing, caller, person)
        session = new_session(caller.household, owner, called, now, "program", scope)
        session = replace(session, ends_at=ends)
        writing.add_session(hashed, session)
        made = SignIn(now, "token", f"made to {scope}", caller.person, called, caller.address)
        writing.add_sign_in(caller.household, made, MOST_SIGN_INS)
        token = _token(session, names_of(writing.members(caller.household))[owner])
    return NewToken(secret, token)


def end(context: Context, caller: Caller, token: str) -> None:
    """End a token.

    Raises:
        Unknown: There is none of that id.
        NotAllowed: It is somebody else's, and the one who asks is no keeper.
    """
    end_session(context, caller, token, "program")


def latest_end(context: Context, household: str) -> date:
    """The last date that a token can hold on."""
    return (context.clock() + LONGEST).astimezone(_place(context, household)).date()


def _place(context: Context, household: str) -> ZoneInfo:
    home = context.store.version(household)
    return place_of(home.zone if home else FIRST_ZONE)


def _ends(context: Context, caller: Caller, until: date | None, now: datetime) -> datetime:
    if until is None:
        return now + LONGEST
    place = _place(context, caller.household)
    today, latest = now.astimezone(place).date(), latest_end(context, caller.household)
    if until < today:
        raise Malformed("The date lies before today. Choose a later one.")
    if until > latest:
        raise Malformed(f"A token holds for a year at most: until {latest.isoformat()}.")
    midnight = datetime.combine(until + timedelta(days=1), datetime.min.time(), place)
    return min(midnight, now + LONGEST)


def _owner(reading: PeopleReading, caller: Caller, person: str) -> str:
    members = {one.person for one in reading.members(caller.household)}
    if caller.person:
        if person not in {"", caller.person}:
            raise NotAllowed(THEIRS)
        return caller.person
    if not members:
        raise Malformed(NOBODY)
    if person not in members:
        raise Malformed(WHOSE)
    return person
