"""Passkeys, recovery sheets and ceremonies without a database: plain values, for trying use cases out."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Protocol

from coach.ground.passkeys import Sheet

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from coach.ground.passkeys import Ceremony, Passkey


@dataclass(frozen=True, slots=True)
class KeptWaysIn:
    """What is kept; replaced as a whole.

    Attributes:
        passkeys: By their credentials.
        codes: For each hash of a recovery code its person, its sheet and when that was made.
        ceremonies: By the hashes of their challenges.
    """

    passkeys: dict[str, Passkey] = field(default_factory=dict)
    codes: dict[str, tuple[str, str, datetime]] = field(default_factory=dict)
    ceremonies: dict[str, Ceremony] = field(default_factory=dict)

    def without_person(self, person: str) -> KeptWaysIn:
        """The same without anything of somebody's."""
        return KeptWaysIn(
            {key: one for key, one in self.passkeys.items() if one.person != person},
            {key: one for key, one in self.codes.items() if one[0] != person},
            {key: one for key, one in self.ceremonies.items() if one.person != person},
        )


class _HasWaysIn(Protocol):
    @property
    def ways_in(self) -> KeptWaysIn: ...
    @ways_in.setter
    def ways_in(self, kept: KeptWaysIn) -> None: ...


class MemoryWaysInReading:
    """Passkeys and recovery sheets as they were when the transaction began."""

    def passkeys(self: _HasWaysIn, person: str) -> Sequence[Passkey]:
        """A person's passkeys, in the order in which they were added."""
        found = (one for one in self.ways_in.passkeys.values() if one.person == person)
        return sorted(found, key=lambda one: (one.made_at, one.credential))

    def passkey(self: _HasWaysIn, credential: str) -> Passkey | None:
        """The passkey of that credential."""
        return self.ways_in.passkeys.get(credential)

    def sheet(self: _HasWaysIn, person: str) -> Sheet | None:
        """A person's recovery sheet, while a code of it is left."""
        theirs = [one for one in self.ways_in.codes.values() if one[0] == person]
        return Sheet(theirs[0][1], theirs[0][2], len(theirs)) if theirs else None

    def is_sheet(self: _HasWaysIn, sheet: str) -> bool:
        """Whether there is a recovery sheet of that name with a code left."""
        return any(one[1] == sheet for one in self.ways_in.codes.values())

    def recovering(self: _HasWaysIn, secret: str) -> str | None:
        """Whose recovery code has that hash."""
        found = self.ways_in.codes.get(secret)
        return None if found is None else found[0]


class MemoryWaysInWriting(MemoryWaysInReading):
    """The same with the right to write."""

    def add_passkey(self: _HasWaysIn, passkey: Passkey) -> None:
        """Keep a passkey."""
        passkeys = {**self.ways_in.passkeys, passkey.credential: passkey}
        self.ways_in = replace(self.ways_in, passkeys=passkeys)

    def name_passkey(self: _HasWaysIn, person: str, credential: str, name: str) -> None:
        """Call one of a person's passkeys something else."""
        found = self.ways_in.passkeys.get(credential)
        if found is not None and found.person == person:
            _put(self, replace(found, name=name))

    def used_passkey(self: _HasWaysIn, credential: str, counter: int, at: datetime) -> None:
        """Write down that one was used, and how often its device says that it has signed."""
        found = self.ways_in.passkeys.get(credential)
        if found is not None:
            _put(self, replace(found, counter=counter, seen_at=at))

    def drop_passkey(self: _HasWaysIn, person: str, credential: str) -> None:
        """Forget one of a person's passkeys; nothing if there is none of that id."""
        passkeys = {
            key: one
            for key, one in self.ways_in.passkeys.items()
            if (one.person, one.credential) != (person, credential)
        }
        self.ways_in = replace(self.ways_in, passkeys=passkeys)

    def put_sheet(self: _HasWaysIn, person: str, sheet: str, secrets: Sequence[str], at: datetime) -> None:
        """Keep the hashes of a sheet's codes in the place of the person's former sheet."""
        others = {key: one for key, one in self.ways_in.codes.items() if one[0] != person}
        codes = {**others, **dict.fromkeys(secrets, (person, sheet, at))}
        self.ways_in = replace(self.ways_in, codes=codes)

    def drop_recovery(self: _HasWaysIn, secret: str) -> None:
        """Forget a code that was used."""
        codes = {key: one for key, one in self.ways_in.codes.items() if key != secret}
        self.ways_in = replace(self.ways_in, codes=codes)

    def drop_sheet(self: _HasWaysIn, person: str) -> None:
        """End a person's recovery sheet."""
        codes = {key: one for key, one in self.ways_in.codes.items() if one[0] != person}
        self.ways_in = replace(self.ways_in, codes=codes)

    def add_ceremony(self: _HasWaysIn, secret: str, ceremony: Ceremony, most: int) -> None:
        """Keep what a device is asked to sign; of more than so many those that end first are forgotten."""
        all_of_them = {**self.ways_in.ceremonies, secret: ceremony}
        # Those that end last come first, and among them the smaller hash, as the database has it.
        newest = sorted(sorted(all_of_them), key=lambda key: all_of_them[key].ends_at, reverse=True)
        kept = {key: all_of_them[key] for key in newest[:most]}
        self.ways_in = replace(self.ways_in, ceremonies=kept)

    def take_ceremony(self: _HasWaysIn, secret: str) -> Ceremony | None:
        """What a device was asked to sign, by the challenge's hash; it is forgotten, so it comes once."""
        others = {key: one for key, one in self.ways_in.ceremonies.items() if key != secret}
        found = self.ways_in.ceremonies.get(secret)
        self.ways_in = replace(self.ways_in, ceremonies=others)
        return found

    def drop_ceremonies(self: _HasWaysIn, now: datetime) -> None:
        """Forget those that are over by an instant."""
        kept = {key: one for key, one in self.ways_in.ceremonies.items() if one.ends_at > now}
        self.ways_in = replace(self.ways_in, ceremonies=kept)


def _put(kept: _HasWaysIn, passkey: Passkey) -> None:
    passkeys = {**kept.ways_in.passkeys, passkey.credential: passkey}
    kept.ways_in = replace(kept.ways_in, passkeys=passkeys)
