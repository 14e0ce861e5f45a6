"""What a restore does with the ways in: nothing that has ended comes back to life by an old backup.

A backup holds what was let in when it was made. Of that nothing is taken; what is let in at the time of the
restore stays so, as far as its person belongs to the household that comes back. Codes are made anew. Passkeys
and recovery sheets are such ways in: those of now stay, and one that was removed does not come back.
"""

from __future__ import annotations

import sqlite3
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

LET_IN = ("session", "code", "tally", "passkey", "recovery", "ceremony")
"""The tables of which nothing is taken from a backup."""

STAYS = ("session", "sign_in", "tally", "passkey", "recovery")
"""The tables whose rows stay as they are in the database that is replaced."""

_BELONGS = (
    """DELETE FROM session WHERE NOT EXISTS (SELECT 1 FROM member
    WHERE member.household_id = session.household_id AND member.person_id = session.person_id)""",
    *(
        f"DELETE FROM {table} WHERE person_id NOT IN (SELECT person_id FROM member"  # noqa: S608  names of ours
        " UNION SELECT person_id FROM coach)"
        for table in ("passkey", "recovery")
    ),
)


def let_nobody_in(candidate: sqlite3.Connection) -> None:
    """Take from a backup that is up to date whatever would let somebody in, or keep somebody out."""
    with candidate:
        for table in LET_IN:
            candidate.execute(f"DELETE FROM {table}").close()  # noqa: S608  a name of ours


def carry(live: sqlite3.Connection, candidate: sqlite3.Connection) -> None:
    """Put into what comes back who is let in now and what happened at the door, as far as that can be read.

    A database of a version that knew nothing of people has nothing of that.
    """
    with candidate:
        candidate.execute("BEGIN").close()
        for table in STAYS:
            found = _rows(live, table)
            if found is None:
                continue
            names, rows = found
            places = ", ".join("?" for _ in names)
            candidate.execute(f"DELETE FROM {table}").close()  # noqa: S608  a name of ours
            insert = f"INSERT INTO {table} ({', '.join(names)}) VALUES ({places})"  # noqa: S608  the same
            candidate.executemany(insert, rows).close()
        for statement in _BELONGS:
            candidate.execute(statement).close()


def _rows(live: sqlite3.Connection, table: str) -> tuple[list[str], Sequence[tuple[object, ...]]] | None:
    """The columns of a table and its rows; None where there is no such table."""
    try:
        found = live.execute(f"SELECT * FROM {table}")  # noqa: S608  a name of ours
        return [f'"{column[0]}"' for column in found.description], found.fetchall()
    except sqlite3.OperationalError as error:
        if "no such table" not in str(error):
            raise
        return None
