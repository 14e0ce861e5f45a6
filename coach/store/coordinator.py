"""A database that holds nothing and from which the counts of all others can be read, by postgres_fdw."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.store.directory import CENTRAL
from coach.store.engine import read_url

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from coach.store.opening import Databases

COUNTED = ("enrolment", "followed", "spell", "place")
"""The tables that counts are made of; logs and plans are not among them."""

READER = "steading_counts"
"""The role that reads them and nothing else."""

SECONDS = 30
"""How long one of its questions may take."""

_HEAD = """\
-- For psql, as a superuser of each server. Nothing of Steading's is changed by it.

-- 1. In every database that households live in ({names}):

DO $$ BEGIN
  IF NOT EXISTS (SELECT FROM pg_roles WHERE rolname = '{reader}') THEN CREATE ROLE {reader} LOGIN; END IF;
END $$;
ALTER ROLE {reader} SET steading.counts = 'on';
ALTER ROLE {reader} SET default_transaction_read_only = 'on';
ALTER ROLE {reader} SET statement_timeout = '{seconds}s';
GRANT USAGE ON SCHEMA public TO {reader};
GRANT SELECT ON {tables} TO {reader};

-- 2. In an empty database for the coordinator, in which {reader} is a role too:
"""


def statements(databases: Databases) -> str:
    """What makes the reader in every database, and the coordinator's schemas and views, as SQL."""
    urls = {CENTRAL: databases.url, **databases.others}
    head = _HEAD.format(names=", ".join(urls), reader=READER, seconds=SECONDS, tables=", ".join(COUNTED))
    return "\n".join([head, *coordinator(urls)])


def reader() -> str:
    """The first part alone: what makes the reader in a database."""
    text = _HEAD.format(names="", reader=READER, seconds=SECONDS, tables=", ".join(COUNTED))
    return text.partition("DO $$")[1] + text.partition("DO $$")[2].partition("-- 2.")[0]


def coordinator(urls: Mapping[str, str]) -> Iterator[str]:
    """The second part: a server and a schema for each database, and a view of all for each table."""
    yield "CREATE EXTENSION IF NOT EXISTS postgres_fdw;"
    for name, url in urls.items():
        yield from _server(name, url)
    for table in COUNTED[:-1]:
        parts = " UNION ALL ".join(_living(name, table) for name in urls)
        yield f"CREATE OR REPLACE VIEW {table} AS {parts};"
        yield f"GRANT SELECT ON {table} TO {READER};"


def _server(name: str, url: str) -> Iterator[str]:
    yield f"CREATE SERVER {name} FOREIGN DATA WRAPPER postgres_fdw OPTIONS ({_options(url)});"
    # Nothing is written or emptied from here, whatever the reader might do over there.
    yield (
        f"ALTER SERVER {name} OPTIONS "
        "(ADD updatable 'false', ADD truncatable 'false', ADD async_capable 'true', ADD fetch_size '5000');"
    )
    for whose in ("CURRENT_USER", READER):
        yield (
            f"CREATE USER MAPPING FOR {whose} SERVER {name} OPTIONS "
            f"(user '{READER}', password_required 'false');"
        )
    yield f"CREATE SCHEMA {name};"
    yield (f"IMPORT FOREIGN SCHEMA public LIMIT TO ({', '.join(COUNTED)}) FROM SERVER {name} INTO {name};")
    yield f"GRANT USAGE ON SCHEMA {name} TO {READER};"
    yield f"GRANT SELECT ON ALL TABLES IN SCHEMA {name} TO {READER};"


def _living(name: str, table: str) -> str:
    """Those rows of a database's table whose household lives there."""
    elsewhere = f"{name}.place AS mark WHERE mark.household_id = one.household_id AND mark.place <> '{name}'"
    rows = f"SELECT '{name}' AS lives_in, one.* FROM {name}.{table} AS one"  # noqa: S608  names of our own
    return f"{rows} WHERE NOT EXISTS (SELECT FROM {elsewhere})"


def _options(url: str) -> str:
    parsed = read_url(url)
    host = parsed.host or parsed.query.get("host", "localhost")
    told = {"host": host, "port": str(parsed.port or 5432), "dbname": parsed.database}
    return ", ".join(f"{key} '{str(value).replace(chr(39), chr(39) * 2)}'" for key, value in told.items())
