"""The link that ends somebody's messages in one tap, and the way to take that back."""

from __future__ import annotations

import hmac
import json
import secrets
from base64 import urlsafe_b64decode, urlsafe_b64encode
from binascii import Error
from dataclasses import asdict
from datetime import datetime, time, timedelta
from typing import TYPE_CHECKING

from coach.errors import Malformed, Unknown
from coach.ground.sending import Reminder
from coach.household.paired import belongs

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.ciphers.aead import AESGCM

    from coach.ground.ports import Context

KEY = "stop"
"""The name of the secret of this service that its links are made with."""

SECRET_BYTES = 32
ID_BYTES = 12
PROOF_BYTES = 18
"""So many bytes of the HMAC stand in a link; nobody finds 144 bits by trying."""

NONCE_BYTES = 12
"""What NIST SP 800-38D §5.2.1.1 recommends for AES-GCM; each is random."""

TAKEN_BACK = timedelta(hours=1)
"""How long the page that says that messages have ended can take that back."""

NONE_SUCH = "There is no such page. A link that ends messages has to be opened as it stands in the message."
TOO_LATE = "That cannot be taken back here any more. Messages can be asked for anew on the page Reminders."


def stop_key(context: Context) -> bytes:
    """The secret of the links, made when it is first used; every server of one database has the same."""
    found = _kept_key(context)
    if found is None:
        with context.store.people_writing() as writing:
            found = writing.put_key(KEY, secrets.token_urlsafe(SECRET_BYTES), context.clock())
    return found.encode()


def _kept_key(context: Context) -> str | None:
    with context.store.people_reading() as reading:
        return reading.key(KEY)


def reminder_id(key: bytes, household: str, person: str) -> str:
    """The id of somebody's reminder in a household: always the same, so that links of old messages hold."""
    return _letters(hmac.digest(key, f"reminder {household} {person}".encode(), "sha256")[:ID_BYTES])


def token_of(key: bytes, reminder: str) -> str:
    """What stands in the link that ends a reminder: its id, and a proof that the link is ours."""
    return f"{reminder}.{_proof(key, reminder)}"


def stop_link(key: bytes, reminder: str) -> str:
    """The path of that link."""
    return f"/stop/{token_of(key, reminder)}"


def checked(context: Context, token: str) -> str:
    """The id of the reminder that a link is about, whether there is one still or not.

    Raises:
        Unknown: The link is none of ours; what is wrong with it is not told.
    """
    reminder, _, proof = token.partition(".")
    # Without a secret there are no links of ours, and none is made for whoever tries one.
    key = _kept_key(context)
    expected = _proof((key or secrets.token_urlsafe(SECRET_BYTES)).encode(), reminder)
    if not hmac.compare_digest(expected.encode(), proof.encode(errors="replace")):
        raise Unknown(NONE_SUCH)
    return reminder


def stop(context: Context, token: str) -> str:
    """End what a link is about, and give what takes that back for a while; empty if it had ended before.

    Nothing of an ended reminder is kept: whoever has the answer has all of it, sealed.

    Raises:
        Unknown: The link is none of ours.
    """
    reminder = checked(context, token)
    with context.store.people_reading() as reading:
        if reading.reminder(reminder) is None:
            return ""
    with context.store.people_writing() as writing:
        found = writing.reminder(reminder)
        if found is None:
            return ""
        writing.drop_reminder(found.household, found.person)
    return _sealed(stop_key(context), found, context.clock())


def take_back(context: Context, token: str, sealed: str) -> None:
    """Let the messages that a link has ended go on as they were; nothing if they have begun anew.

    Raises:
        Unknown: The link is none of ours.
        Malformed: It is too late, or what was sealed is none of ours.
    """
    reminder = checked(context, token)
    found = _opened(stop_key(context), reminder, sealed, context.clock())
    with context.store.people_writing() as writing:
        if writing.reminder(reminder) is None and belongs(writing, found.household, found.person):
            writing.put_reminder(found)


def _sealed(key: bytes, reminder: Reminder, now: datetime) -> str:
    told = {**asdict(reminder), "ended": now.isoformat()}
    nonce = secrets.token_bytes(NONCE_BYTES)
    hidden = _box(key).encrypt(nonce, json.dumps(told, default=_iso).encode(), reminder.id.encode())
    return _letters(nonce + hidden)


def _opened(key: bytes, reminder: str, sealed: str, now: datetime) -> Reminder:
    from cryptography.exceptions import InvalidTag  # noqa: PLC0415  loaded when somebody takes something back

    try:
        kept = urlsafe_b64decode(sealed + "=" * (-len(sealed) % 4))
        told = json.loads(_box(key).decrypt(kept[:NONCE_BYTES], kept[NONCE_BYTES:], reminder.encode()))
    except (InvalidTag, Error, ValueError):
        raise Malformed(TOO_LATE) from None
    if now - datetime.fromisoformat(told.pop("ended")) > TAKEN_BACK:
        raise Malformed(TOO_LATE)
    moments = {name: datetime.fromisoformat(told[name]) for name in ("next_at", "made_at")}
    return Reminder(**{**told, "at": time.fromisoformat(told["at"]), **moments})


def _box(key: bytes) -> AESGCM:
    from cryptography.hazmat.primitives.ciphers.aead import AESGCM  # noqa: PLC0415  as above

    return AESGCM(hmac.digest(key, b"seal", "sha256"))


def _proof(key: bytes, reminder: str) -> str:
    said = f"stop {reminder}".encode(errors="replace")
    return _letters(hmac.digest(key, said, "sha256")[:PROOF_BYTES])


def _letters(held: bytes) -> str:
    return urlsafe_b64encode(held).decode().rstrip("=")


def _iso(value: datetime | time) -> str:
    return value.isoformat()
