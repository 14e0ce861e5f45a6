"""Ten thousand homes in one database: forty that were lived by the rules, and copies of each."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import islice
from typing import TYPE_CHECKING

from sqlalchemy import text

from coach.coaching.invented import homes
from coach.coaching.library import find_course
from coach.ground.groups import Enrolment, Group
from coach.ground.people import Session
from coach.household import data
from coach.household.devices import hashed
from coach.progress.csvform import write_log
from coach.store.every_table import ALL_TABLES
from store.postgres_server import seeing_all

if TYPE_CHECKING:
    from datetime import date

    from sqlalchemy import Connection

    from coach.ground.ports import Context
    from coach.store.households import SqlStore

GROUP = "g"
COACH = "coach"
LIVED = 40
COPIED = (
    "person",
    "member",
    "session",
    "household",
    "course_version",
    "log",
    "standing",
    "plan_log",
    "plan_value",
    "plan_state",
    "enrolment",
    "followed",
    "spell",
)
"""The tables of a home, each after those that it refers to."""

OWN_KEYS = {"household_id": "h", "person_id": "p", "session_id": "s", "secret": "", "by": ""}
"""Columns that name a home or one of its people, and how what they hold begins."""


def secret_of(number: int) -> str:
    """What the device of a home shows."""
    return f"the-device-of-home-{number}"


def fill(context: Context, store: SqlStore, today: date, number: int) -> None:
    """Put so many homes into an empty database: people, device, log, plan, standing and enrolment.

    Args:
        context: With that store.
        store: A store in PostgreSQL.
        today: The day they are looked at.
        number: How many; at least forty.
    """
    at = datetime(today.year, today.month, today.day, 8, tzinfo=UTC)
    with store.coaching_writing() as coaching:
        coaching.put_group(Group(GROUP, COACH, "Winter", "three-weeks", today, "en-GB", at))
    for home in islice(homes(find_course("three-weeks"), today), LIVED):
        _settle_in(context, store, home.number, home.name, write_log(home.log), at)
        enrolment = Enrolment(
            f"h{home.number}", home.name, GROUP, at, home.level, at, today + timedelta(days=180)
        )
        with store.writing(f"h{home.number}") as writing:
            writing.put_enrolment(enrolment)
    # A transaction of the service sees one household at a time; whoever looks after the server sees all.
    engine = seeing_all(store.engine)
    with engine.begin() as connection:
        for table in COPIED:
            _copy(connection, table, number)
        connection.execute(text("ANALYZE"))
    engine.dispose()


def _settle_in(context: Context, store: SqlStore, number: int, name: str, log: str, at: datetime) -> None:
    household, person = f"h{number}", f"p{number}"
    data.load(replace(context, by=person), household, log)
    with store.people_writing() as people:
        people.add_person(person, f"Keeper of {name}", at)
        people.put_member(household, person, "keeper", at)
        ends = at + timedelta(days=365)
        session = Session(f"s{number}", household, person, "program", "write", "phone", at, at, ends)
        people.add_session(hashed(secret_of(number)), session)


def _copy(connection: Connection, table: str, number: int) -> None:
    """Copy the rows of the forty homes under new keys until there are so many homes."""
    columns = [column.name for column in ALL_TABLES.tables[table].columns]
    of = "person_id" if table == "person" else "household_id"
    taken = ", ".join(_under_new_key(column) for column in columns)
    connection.execute(
        text(
            f"INSERT INTO {table} ({', '.join(f'{chr(34)}{name}{chr(34)}' for name in columns)}) "  # noqa: S608
            f"SELECT {taken} FROM {table} AS t, generate_series({LIVED}, {number - 1}) AS n "
            f"WHERE substr(t.{of}, 2) = (n % {LIVED})::text"
        )
    )


def _under_new_key(column: str) -> str:
    if column == "secret":
        return "encode(sha256(('the-device-of-home-' || n)::bytea), 'hex')"
    if column == "by":
        return "CASE WHEN t.by = '' THEN '' ELSE 'p' || n END"
    begins = OWN_KEYS.get(column)
    return f't."{column}"' if begins is None else f"'{begins}' || n"
