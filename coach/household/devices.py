"""Devices and programs that were let in: what they show, how long it holds, and how it ends."""

from __future__ import annotations

import hmac
import secrets
from base64 import urlsafe_b64encode
from contextlib import suppress
from dataclasses import replace
from datetime import timedelta
from hashlib import sha256
from typing import TYPE_CHECKING

from coach.errors import StoreError
from coach.ground.people import Caller, Session

if TYPE_CHECKING:
    from datetime import datetime

    from coach.ground.people import Kind, PeopleWriting, Scope, Shown
    from coach.ground.ports import Context

UNSEEN = timedelta(days=90)
"""A device of a household that was not seen for so long is let in no more."""

LONGEST = timedelta(days=365)
"""So long after it was let in a device has to be paired anew, whatever happens; a token ends no later."""

UNSEEN_AS_COACH = timedelta(hours=24)
"""What opens groups is let in no more if it was not seen for so long: many households stand behind it."""

LONGEST_AS_COACH = timedelta(days=30)
"""So long after it was let in a coach has to sign in anew, whatever happens (NIST SP 800-63B, AAL1)."""

TOUCHED = timedelta(hours=1)
"""How exactly it is known when a device was last seen."""

SECRET_BYTES = 32
ID_BYTES = 9

_KEY = secrets.token_bytes(SECRET_BYTES)
"""Known to this process alone."""

COACH_OVER = "You were signed in as a coach a day or more ago, or for a month. Sign in again."
OVER = "This device was not seen for a long time, or has been paired for a year. Pair it again."
ENDED = "This device is not paired any more. Pair it again with a new code."

HOME = "home"


def new_secret() -> tuple[str, str]:
    """What a device is to show, and the hash under which that is kept."""
    secret = secrets.token_urlsafe(SECRET_BYTES)
    return secret, hashed(secret)


def secret_of(letters: str, once: str) -> tuple[str, str]:
    """The same for a request that has a name: sent again while the service runs, it gives the same secret.

    Two taps on one button are two answers, and the browser keeps the cookie of whichever comes last.
    """
    if not once:
        return new_secret()
    asked = f"{len(letters)} {letters} {once}".encode(errors="replace")
    secret = urlsafe_b64encode(hmac.digest(_KEY, asked, "sha256")).decode().rstrip("=")
    return secret, hashed(secret)


def named_id(secret: str, asked: str) -> str:
    """An id of a device that tells nobody but this process what was asked for as it was let in."""
    return urlsafe_b64encode(hmac.digest(_KEY, f"{secret} {asked}".encode(), "sha256")[:ID_BYTES]).decode()


def hashed(secret: str) -> str:
    """SHA-256 of what is shown: of 256 random bits it needs no slower hash."""
    return sha256(secret.encode(errors="replace")).hexdigest()


def let_in(context: Context, secret: str, address: str, kind: Kind) -> Caller:
    """Who shows this; somebody without a role where it does not let in, with the reason.

    Args:
        context: Store and clock.
        secret: What is shown.
        address: Where the request comes from.
        kind: How it is shown: as a browser shows its cookie, or as a program shows its token. The one is
            never taken for the other.
    """
    shown = context.store.shown(hashed(secret))
    if shown is None or not opens_anything(shown) or shown.session.kind != kind:
        return Caller(shown.session.household if shown else HOME, address=address, over=ENDED)
    session, now = shown.session, context.clock()
    if not holds(session, now):
        return Caller(session.household, address=address, over=COACH_OVER if session.as_coach else OVER)
    if now - session.seen_at >= TOUCHED:
        # That it was seen is no reason to keep anybody waiting or out.
        with suppress(StoreError), context.store.people_writing() as writing:
            writing.touch(session.id, now)
    coaches = session.as_coach and shown.is_coach
    return Caller(
        session.household, shown.role, session.person, shown.name, session, address, coaches=coaches
    )


def opens_anything(shown: Shown) -> bool:
    """Whether a session opens a household, or groups."""
    return shown.role is not None or (shown.session.as_coach and shown.is_coach)


def seconds_of(session: Session) -> int:
    """How long a browser keeps what it shows: to the end of its session."""
    return int((session.ends_at - session.made_at).total_seconds())


def holds(session: Session, now: datetime) -> bool:
    """Whether a device or a program is still let in; a program may be quiet for as long as it likes."""
    unseen = UNSEEN_AS_COACH if session.as_coach else UNSEEN
    return now < session.ends_at and (session.kind != "browser" or now - session.seen_at < unseen)


def new_session(
    household: str, person: str, name: str, now: datetime, kind: Kind = "browser", scope: Scope = "write"
) -> Session:
    """A device or a program that is being let in now."""
    return Session(
        secrets.token_urlsafe(ID_BYTES), household, person, kind, scope, name, now, now, now + LONGEST
    )


def signed_in(
    writing: PeopleWriting, person: str, name: str, now: datetime, kind: Kind = "browser"
) -> Session:
    """The session of one who signs in for themselves: by a passkey, a recovery code, as an invited coach.

    It asks about the first household they belong to until they choose another one, and opens the groups of
    one who coaches; it ends the sooner for that. What is paired with a household, by a code of that
    household, opens no groups: a kitchen phone lies about, and stays let in for months.
    """
    homes = writing.homes_of(person)
    session = new_session(homes[0].household if homes else "", person, name, now, kind)
    if not writing.is_coach(person):
        return session
    return replace(session, as_coach=True, ends_at=now + LONGEST_AS_COACH)
