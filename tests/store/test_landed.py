"""A database with months in it, as a landed version left it, is brought up to date and loses nothing."""

from __future__ import annotations

from contextlib import closing
from datetime import UTC, datetime
from typing import TYPE_CHECKING

import pytest
from alembic import command
from sqlalchemy import column, delete, insert, inspect, select, table

from coach.store.engine import make_engine, ways
from coach.store.every_table import ALL_TABLES
from coach.store.migrations import configuration, migrate
from coach.store.opening import open_store
from coach.store.tables import StandingTable
from store.landed import DUMP, as_landed, load_dump, told_by, told_by_file
from store.postgres_server import seeing_all
from store.tern_street import HOME
from web.house import House

if TYPE_CHECKING:
    from pathlib import Path

    from sqlalchemy import Engine, TableClause

    Columns = dict[str, set[str]]
    Rows = dict[str, list[tuple[object, ...]]]

LATER = datetime(2027, 3, 8, 12, tzinfo=UTC)
VERSION = DUMP.stem.rpartition("-")[2]


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """The database as the landed version left it."""
    load_dump(tmp_path / "home.db")
    return tmp_path / "home.db"


def columns_in(engine: Engine) -> Columns:
    """The columns of our tables that a database has, which may be of a version with fewer."""
    known = inspect(engine)
    there = {table.name for table in ALL_TABLES.sorted_tables} & set(known.get_table_names())
    return {name: {column["name"] for column in known.get_columns(name)} for name in there}


def tables_with(columns: Columns) -> list[TableClause]:
    """Our tables with these columns and no others, in the order in which they are filled."""
    return [
        table(one.name, *(column(c.name, c.type) for c in one.columns if c.name in columns[one.name]))
        for one in ALL_TABLES.sorted_tables
        if one.name in columns
    ]


def rows_in(engine: Engine, columns: Columns) -> Rows:
    """Every row of every table, as far as these columns go, in the order of the keys."""
    keys = {one.name: [key.name for key in one.primary_key] for one in ALL_TABLES.sorted_tables}
    with engine.connect() as connection:
        return {
            one.name: [
                tuple(row)
                for row in connection.execute(select(one).order_by(*(one.c[key] for key in keys[one.name])))
            ]
            for one in tables_with(columns)
        }


def copy_to(engine: Engine, rows: Rows, columns: Columns) -> None:
    """Put the rows into an empty database of the landed version."""
    with ways(engine).writing.begin() as connection:
        command.upgrade(configuration(connection), VERSION)
        for one in tables_with(columns):
            names = [column.name for column in one.columns]
            values = [dict(zip(names, row, strict=True)) for row in rows[one.name]]
            if values:
                connection.execute(insert(one), values)


def told_by_store(url: str) -> str:
    """What follows for every day from what the opened store reads."""
    with closing(open_store(url)) as store, store.reading(HOME) as reading:
        rows = [(f"{row.date}", row.what.value, row.step, row.value) for row in reading.rows()]
        (version,) = reading.courses()
        return told_by(rows, reading.course_content(version.digest))


def test_the_landed_database_has_rows_of_every_kind_that_is_no_cache(file: Path) -> None:
    engine = make_engine(f"sqlite:///{file}")
    found = rows_in(engine, columns_in(engine))
    engine.dispose()
    assert {name for name, rows in found.items() if not rows} == {"plan_state"}
    assert len(found["log"]) > 300
    assert len({row[3] for row in found["plan_log"]}) > 5


def test_every_row_is_still_there_in_sqlite(file: Path) -> None:
    engine = make_engine(f"sqlite:///{file}")
    columns = columns_in(engine)
    before = rows_in(engine, columns)
    migrate(engine)
    assert rows_in(engine, columns) == before
    engine.dispose()


def test_what_landed_is_nobodys_and_there_are_no_people_yet(file: Path) -> None:
    engine = make_engine(f"sqlite:///{file}")
    old = columns_in(engine)
    migrate(engine)
    new = columns_in(engine)
    added = {name: columns - old.get(name, set()) for name, columns in new.items()}
    assert {name: columns for name, columns in added.items() if columns and name in old} == {
        "log": {"by", "version", "tapped_at"},
        "plan_log": {"by"},
    }
    found = rows_in(engine, {"log": {"household_id", "seq", "by", "version", "tapped_at"}})
    assert {row[2:] for row in found["log"]} == {("", None, None)}
    assert not any(rows_in(engine, {name: new[name] for name in new.keys() - old.keys()}).values())
    engine.dispose()


@pytest.mark.postgres
def test_every_row_is_still_there_in_postgresql(file: Path, postgresql_url: str) -> None:
    landed = make_engine(f"sqlite:///{file}")
    columns = columns_in(landed)
    rows = rows_in(landed, columns)
    landed.dispose()
    engine = make_engine(postgresql_url)
    copy_to(engine, rows, columns)
    before = rows_in(engine, columns)
    migrate(engine)
    assert rows_in(seeing_all(engine), columns) == before
    assert {name: len(found) for name, found in before.items()} == {
        name: len(found) for name, found in rows.items()
    }
    engine.dispose()
    assert told_by_store(postgresql_url) == told_by_file(file)


def test_every_day_stands_as_it_did(file: Path) -> None:
    landed = DUMP.with_suffix(".txt").read_text("utf-8")
    assert as_landed(told_by_store(f"sqlite:///{file}")) == as_landed(landed)


def test_standings_saved_by_the_landed_version_say_what_the_log_says(file: Path) -> None:
    with_saved = path_told(file)
    engine = make_engine(f"sqlite:///{file}")
    with ways(engine).writing.begin() as connection:
        assert connection.execute(delete(StandingTable)).rowcount
    engine.dispose()
    assert path_told(file) == with_saved


def path_told(file: Path) -> object:
    """Where every step stands, as the service says it over this database."""
    house = House(file.parent)
    house.now = LATER
    answer = house.http.get("/api/path")
    house.close()
    assert answer.status_code == 200
    return answer.json()


@pytest.mark.parametrize("path", ["/today", "/path", "/week", "/areas", "/dinner", "/desk", "/data"])
def test_every_page_of_the_landed_household_is_shown(file: Path, path: str) -> None:
    house = House(file.parent)
    house.now = LATER
    assert house.http.get(path).status_code == 200
    house.close()


def test_the_landed_household_goes_on(file: Path) -> None:
    house = House(file.parent)
    house.now = LATER
    line = next(line for line in house.day()["checklist"] if line["mark"] is None)
    assert {"step": line["step"], "mark": "kept"}.items() <= next(
        one for one in house.mark(line["step"])["checklist"] if one["step"] == line["step"]
    ).items()
    house.close()
