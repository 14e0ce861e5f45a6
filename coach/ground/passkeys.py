"""Passkeys, recovery sheets and what a device was asked to sign, and the port to where that is kept."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, NamedTuple, Protocol

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

CeremonyKind = Literal["add", "sign in"]


@dataclass(frozen=True, slots=True)
class Passkey:
    """A key that a person's device keeps for signing in.

    Attributes:
        credential: The credential's id, base64url.
        person: Whose it is.
        public_key: The public key as COSE, base64url.
        counter: How often the device says that it signed; 0 where it does not count.
        name: What it is called: "blue phone".
        made_at: When it was added, aware.
        seen_at: When it was last used, aware; when it was added, if never since.
    """

    credential: str
    person: str
    public_key: str
    counter: int
    name: str
    made_at: datetime
    seen_at: datetime


class Sheet(NamedTuple):
    """A person's recovery sheet.

    Attributes:
        id: Names the sheet.
        made_at: When it was made, aware.
        left: How many of its codes can still be used.
    """

    id: str
    made_at: datetime
    left: int


class Ceremony(NamedTuple):
    """What a device was asked to sign, until it answers.

    Attributes:
        kind: For adding a passkey, or for signing in.
        person: Who adds one; empty: whoever signs in.
        ends_at: When it is over, aware.
    """

    kind: CeremonyKind
    person: str
    ends_at: datetime


class WaysInReading(Protocol):
    """Passkeys and recovery sheets, inside one short transaction."""

    def passkeys(self, person: str) -> Sequence[Passkey]:
        """A person's passkeys, in the order in which they were added."""

    def passkey(self, credential: str) -> Passkey | None:
        """The passkey of that credential."""

    def sheet(self, person: str) -> Sheet | None:
        """A person's recovery sheet, while a code of it is left."""

    def is_sheet(self, sheet: str) -> bool:
        """Whether there is a recovery sheet of that name with a code left."""

    def recovering(self, secret: str) -> str | None:
        """Whose recovery code has that hash."""

    def called(self, person: str) -> str | None:
        """What somebody is called, whatever they belong to; None: there is nobody of that key."""


class WaysInWriting(WaysInReading, Protocol):
    """The same with the right to write."""

    def add_passkey(self, passkey: Passkey) -> None:
        """Keep a passkey."""

    def name_passkey(self, person: str, credential: str, name: str) -> None:
        """Call one of a person's passkeys something else."""

    def used_passkey(self, credential: str, counter: int, at: datetime) -> None:
        """Write down that one was used, and how often its device says that it has signed."""

    def drop_passkey(self, person: str, credential: str) -> None:
        """Forget one of a person's passkeys; nothing if there is none of that id."""

    def put_sheet(self, person: str, sheet: str, secrets: Sequence[str], at: datetime) -> None:
        """Keep the hashes of a sheet's codes in the place of the person's former sheet."""

    def drop_recovery(self, secret: str) -> None:
        """Forget a code that was used."""

    def drop_sheet(self, person: str) -> None:
        """End a person's recovery sheet."""

    def add_ceremony(self, secret: str, ceremony: Ceremony, most: int) -> None:
        """Keep what a device is asked to sign; of more than so many those that end first are forgotten."""

    def take_ceremony(self, secret: str) -> Ceremony | None:
        """What a device was asked to sign, by the challenge's hash; it is forgotten, so it comes once."""

    def drop_ceremonies(self, now: datetime) -> None:
        """Forget those that are over by an instant."""
