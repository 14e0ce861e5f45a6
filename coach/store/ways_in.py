"""Passkeys, recovery sheets and ceremonies, inside one transaction of a database."""

from __future__ import annotations

from datetime import UTC
from typing import TYPE_CHECKING, Any, cast

from coach.ground.passkeys import Ceremony, Passkey, Sheet
from coach.store import ways_in_statements as statements
from coach.store.instants import aware

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from sqlalchemy import Connection

    from coach.ground.passkeys import CeremonyKind


class SqlWaysInReading:
    """Passkeys and recovery sheets inside one transaction that reads."""

    connection: Connection

    def passkeys(self, person: str) -> Sequence[Passkey]:
        """A person's passkeys, in the order in which they were added."""
        found = self.connection.execute(statements.PASSKEYS, {"person": person}).all()
        return [_passkey(row) for row in found]

    def passkey(self, credential: str) -> Passkey | None:
        """The passkey of that credential."""
        found = self.connection.execute(statements.PASSKEY, {"found": credential}).one_or_none()
        return None if found is None else _passkey(found)

    def sheet(self, person: str) -> Sheet | None:
        """A person's recovery sheet, while a code of it is left."""
        found = self.connection.execute(statements.SHEET, {"person": person}).one_or_none()
        return None if found is None else Sheet(found[0], aware(found[1]), found[2])

    def is_sheet(self, sheet: str) -> bool:
        """Whether there is a recovery sheet of that name with a code left."""
        return self.connection.execute(statements.IS_SHEET, {"sheet": sheet}).first() is not None

    def called(self, person: str) -> str | None:
        """What somebody is called, whatever they belong to."""
        return self.connection.execute(statements.CALLED, {"person": person}).scalar_one_or_none()

    def recovering(self, secret: str) -> str | None:
        """Whose recovery code has that hash."""
        return self.connection.execute(statements.RECOVERING, {"shown": secret}).scalar_one_or_none()


class SqlWaysInWriting(SqlWaysInReading):
    """The same with the right to write."""

    def add_passkey(self, passkey: Passkey) -> None:
        """Keep a passkey."""
        values = {
            "credential": passkey.credential,
            "person_id": passkey.person,
            "public_key": passkey.public_key,
            "counter": passkey.counter,
            "name": passkey.name,
            "made_at": passkey.made_at.astimezone(UTC),
            "seen_at": passkey.seen_at.astimezone(UTC),
        }
        self.connection.execute(statements.ADD_PASSKEY, values)

    def name_passkey(self, person: str, credential: str, name: str) -> None:
        """Call one of a person's passkeys something else."""
        change = statements.NAME_PASSKEY.values(name=name)
        self.connection.execute(change, {"person": person, "found": credential})

    def used_passkey(self, credential: str, counter: int, at: datetime) -> None:
        """Write down that one was used, and how often its device says that it has signed."""
        change = statements.USE_PASSKEY.values(counter=counter, seen_at=at.astimezone(UTC))
        self.connection.execute(change, {"found": credential})

    def drop_passkey(self, person: str, credential: str) -> None:
        """Forget one of a person's passkeys; nothing if there is none of that id."""
        self.connection.execute(statements.DROP_PASSKEY, {"person": person, "found": credential})

    def put_sheet(self, person: str, sheet: str, secrets: Sequence[str], at: datetime) -> None:
        """Keep the hashes of a sheet's codes in the place of the person's former sheet."""
        self.drop_sheet(person)
        same = {"person_id": person, "sheet_id": sheet, "made_at": at.astimezone(UTC)}
        self.connection.execute(statements.ADD_RECOVERY, [{"secret": one, **same} for one in secrets])

    def drop_recovery(self, secret: str) -> None:
        """Forget a code that was used."""
        self.connection.execute(statements.DROP_RECOVERY, {"shown": secret})

    def drop_sheet(self, person: str) -> None:
        """End a person's recovery sheet."""
        self.connection.execute(statements.DROP_SHEET, {"person": person})

    def add_ceremony(self, secret: str, ceremony: Ceremony, most: int) -> None:
        """Keep what a device is asked to sign; of more than so many those that end first are forgotten."""
        values = {"secret": secret, "kind": ceremony.kind, "person_id": ceremony.person}
        ends_at = ceremony.ends_at.astimezone(UTC)
        self.connection.execute(statements.ADD_CEREMONY, {**values, "ends_at": ends_at})
        if self.connection.execute(statements.COUNT_CEREMONIES).scalar_one() > most:
            self.connection.execute(statements.KEEP_CEREMONIES, {"most": most})

    def take_ceremony(self, secret: str) -> Ceremony | None:
        """What a device was asked to sign, by the challenge's hash; it is forgotten, so it comes once."""
        found = self.connection.execute(statements.CEREMONY, {"shown": secret}).one_or_none()
        if found is None:
            return None
        self.connection.execute(statements.DROP_CEREMONY, {"shown": secret})
        return Ceremony(cast("CeremonyKind", found[0]), found[1], aware(found[2]))

    def drop_ceremonies(self, now: datetime) -> None:
        """Forget those that are over by an instant."""
        self.connection.execute(statements.DROP_CEREMONIES, {"instant": now.astimezone(UTC)})


def drop_ways_in(connection: Connection, person: str) -> None:
    """End the passkeys and the recovery sheet of somebody who belongs nowhere and coaches nobody any more."""
    for statement in statements.DROP_WITH_PERSON:
        connection.execute(statement, {"person": person})


def _passkey(row: Sequence[Any]) -> Passkey:
    return Passkey(*row[:-2], *map(aware, row[-2:]))
