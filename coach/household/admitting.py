"""Letting somebody in who proved who they are: which household opens, and the new session."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from coach.errors import AskedOtherwise, NotAllowed
from coach.ground.once import OTHERWISE
from coach.ground.people import SignIn
from coach.household.answers import Paired
from coach.household.codes import MOST_SIGN_INS
from coach.household.devices import UNSEEN, hashed, holds, named_id, signed_in
from coach.household.names import tidy_name
from coach.household.pairing import DEVICE, MOST_DEVICES

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from coach.ground.people import Caller, Kind, PeopleReading, PeopleWriting, Session
    from coach.ground.ports import Context


@dataclass(frozen=True, slots=True)
class Proven:
    """Somebody who proved who they are.

    Attributes:
        person: Who.
        way: By what: `passkey` or `recovery`.
        outcome: What is written down of it.
        device: What the device is to be called; empty: as it was called, or a device.
        kind: A browser, or a program that wants a token.
        asked: What is asked under the request's name, where it has one.
    """

    person: str
    way: str
    outcome: str
    device: str = ""
    kind: Kind = "browser"
    asked: str = ""


def admit(
    writing: PeopleWriting, caller: Caller, proven: Proven, secret: tuple[str, str], now: datetime
) -> Paired | None:
    """Let somebody in by a new session; None: they belong nowhere any more.

    Args:
        writing: Where people are kept.
        caller: Who asked. A browser that was let in before is let in anew, and what it showed ends.
        proven: Who it is.
        secret: What is shown from now on, and its hash.
        now: The present.

    Raises:
        NotAllowed: As many devices are let in as there can be.
        Malformed: The device's name is too long.
    """
    name = writing.called(proven.person)
    session = _session(writing, proven, now)
    if name is None or not (session.household or session.as_coach):
        return None
    writing.drop_over(session.household, now, now - UNSEEN)
    device = _end_former(writing, caller, proven)
    if len(_beside(writing, session)) >= MOST_DEVICES:
        raise NotAllowed(f"{MOST_DEVICES} devices are let in already. End one of them under Devices first.")
    session = replace(session, name=device)
    if proven.asked:
        session = replace(session, id=named_id(secret[0], proven.asked))
    writing.add_session(secret[1], session)
    happened = SignIn(now, proven.way, proven.outcome, proven.person, device, caller.address)
    writing.add_sign_in(session.household, happened, MOST_SIGN_INS)
    return Paired(session.household, proven.person, name, secret[0], session)


def admitted_before(context: Context, secret: str, once: str, asked: str, now: datetime) -> Paired | None:
    """What a request of that name was answered with, if it is sent once more; None: it was not.

    Raises:
        AskedOtherwise: It was another request of the same name.
    """
    shown = context.store.shown(hashed(secret)) if once else None
    if shown is None or not holds(shown.session, now):
        return None
    if asked and shown.session.id != named_id(secret, asked):
        raise AskedOtherwise(OTHERWISE)
    return Paired(shown.session.household, shown.session.person, shown.name, secret, shown.session)


def _session(writing: PeopleWriting, proven: Proven, now: datetime) -> Session:
    """A new session for the household that was asked about last."""
    session = signed_in(writing, proven.person, "", now, proven.kind)
    return replace(session, household=door_of(writing, proven.person))


def door_of(reading: PeopleReading, person: str) -> str:
    """The household that somebody asked about last, else the first they belong to; empty: they have none."""
    homes = [one.household for one in reading.homes_of(person)]
    asked = (one.household for one in reading.sessions_of(person) if one.household in homes)
    return next(asked, homes[0] if homes else "")


def _beside(writing: PeopleWriting, session: Session) -> Sequence[Session]:
    """What is let in beside a new session: into its household, or, without one, for its person."""
    if session.household:
        return writing.sessions(session.household)
    return writing.sessions_of(session.person)


def _end_former(writing: PeopleWriting, caller: Caller, proven: Proven) -> str:
    """End what the browser showed so far; what the device is called from now on."""
    called, former = tidy_name(proven.device, "A device's name"), caller.session
    if former is None or former.kind != proven.kind or proven.kind != "browser":
        return called or DEVICE
    writing.drop_session(former.household, former.id)
    return called or former.name
