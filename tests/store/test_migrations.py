"""Migrations: from nothing and from every earlier version to the present tables, and no further."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from coach.errors import StoreError
from coach.store import migrations
from coach.store.engine import make_engine, ways
from coach.store.every_table import ALL_TABLES
from coach.store.migrations import configuration, migrate
from coach.store.opening import open_store
from store.postgres_server import seeing_all
from store.tern_street import HOME, add, begin, day, dinner, kept, plan_of, put, rows_of, saved

if TYPE_CHECKING:
    from sqlalchemy import Engine

    from coach.store.households import SqlStore

DUMPS = Path(__file__).parent / "versions"
REVISIONS = [script.revision for script in ScriptDirectory(str(migrations.FOLDER)).walk_revisions()]


def differences(engine: Engine) -> list[object]:
    """What an automatic migration would still change."""
    with engine.connect() as connection:
        context = MigrationContext.configure(
            connection, opts={"compare_type": True, "compare_server_default": True}
        )
        return list(compare_metadata(context, ALL_TABLES))


def stop_at(engine: Engine, revision: str) -> None:
    """Migrate an empty database to an earlier version."""
    with ways(engine).writing.begin() as connection:
        command.upgrade(configuration(connection), revision)


def test_an_empty_database_gets_the_tables_of_the_model(url: str) -> None:
    with closing(open_store(url)) as store:
        assert differences(store.engine) == []


@pytest.mark.parametrize("revision", REVISIONS)
def test_every_version_comes_up_to_the_tables_of_the_model(url: str, revision: str) -> None:
    engine = make_engine(url)
    stop_at(engine, revision)
    migrate(engine)
    assert differences(engine) == []
    engine.dispose()


@pytest.mark.parametrize("revision", REVISIONS)
def test_a_database_as_an_earlier_version_left_it_keeps_its_rows(
    sqlite_url: str, tmp_path: Path, revision: str
) -> None:
    with closing(sqlite3.connect(tmp_path / "home.db")) as connection:
        connection.executescript((DUMPS / f"{revision}.sql").read_text("utf-8"))
    with closing(open_store(sqlite_url)) as store:
        assert differences(store.engine) == []
        assert kept(1) in rows_of(store)
        assert not add(store, kept(1), request_id="first-request")
        assert add(store, kept(2))


def test_a_database_of_the_second_version_keeps_its_plan(sqlite_url: str, tmp_path: Path) -> None:
    with closing(sqlite3.connect(tmp_path / "home.db")) as connection:
        connection.executescript((DUMPS / "0002.sql").read_text("utf-8"))
    with closing(open_store(sqlite_url)) as store:
        assert plan_of(store) == [("2027-01-04", '"stew"')]
        assert plan_of(store, "todo") == [("a", '"Fix the tap"')]
        assert not put(store, dinner(3), request_id="first-plan")
        with store.reading(HOME) as reading:
            assert list(reading.plan_history("dinner", "2027-01-05")) == [dinner(2, ""), dinner(2, "rice")]
            assert reading.saved_plan("rotation", day(9), "d1") == saved(1, state='{"turn": 2}')


def test_a_household_of_the_first_version_can_plan(url: str) -> None:
    engine = make_engine(url)
    stop_at(engine, "0001")
    with ways(engine).writing.begin() as connection:
        connection.execute(
            text(
                "INSERT INTO household VALUES ('home', 'three-weeks', 'UTC', '03:00', 'sunday', 7, "
                "'2027-01-04 07:30:00')"
            )
        )
        connection.execute(
            text(
                "INSERT INTO log VALUES ('home', 1, '2027-01-04', 'kept', 'bed-made', '', "
                "'2027-01-04 07:30:00', 'r1')"
            )
        )
    engine.dispose()
    with closing(open_store(url)) as store:
        household = store.version(HOME)
        assert household is not None
        assert household.week_starts == "sunday"
        assert put(store, dinner(1), request_id="r1")
        assert plan_of(store) == [("2027-01-04", '"soup"')]
        assert rows_of(store) == [kept(1)]


def test_migrating_again_changes_nothing(url: str) -> None:
    with closing(open_store(url)) as store:
        begin(store)
        migrate(store.engine)
        assert len(rows_of(store)) == 1


def test_a_migration_that_fails_leaves_nothing_behind(url: str, monkeypatch: pytest.MonkeyPatch) -> None:
    engine = make_engine(url)
    upgrade = command.upgrade

    def fail_late(*arguments: object) -> None:
        upgrade(*arguments)  # type: ignore[arg-type]  # passed through as they came
        raise KeyboardInterrupt

    monkeypatch.setattr(command, "upgrade", fail_late)
    with pytest.raises(KeyboardInterrupt):
        migrate(engine)
    monkeypatch.undo()
    migrate(engine)
    assert differences(engine) == []
    engine.dispose()


def test_a_database_of_a_newer_version_is_refused_and_left_as_it_is(url: str) -> None:
    with closing(open_store(url)) as store:
        begin(store)
        with ways(store.engine).writing.begin() as connection:
            connection.execute(text("UPDATE alembic_version SET version_num = '9999'"))
        with pytest.raises(
            StoreError, match=r"written by a newer Steading .* version 9999\)\. Install that version"
        ):
            open_store(url)
        assert len(rows_of(store)) == 1


def test_the_database_of_another_program_is_refused_and_left_as_it_is(
    tmp_path: Path, sqlite_url: str
) -> None:
    with closing(sqlite3.connect(tmp_path / "home.db")) as connection:
        connection.execute("CREATE TABLE recipe (title TEXT)")
        connection.commit()
        with pytest.raises(StoreError, match=r"home\.db is not a Steading database"):
            open_store(sqlite_url)
        assert connection.execute("SELECT name FROM sqlite_master").fetchall() == [("recipe",)]


@pytest.mark.postgres
def test_tables_of_the_same_names_in_postgresql_are_refused(postgresql_url: str) -> None:
    engine = make_engine(postgresql_url)
    with ways(engine).writing.begin() as connection:
        connection.execute(text("CREATE TABLE household (id integer)"))
    with pytest.raises(StoreError, match="is not a Steading database"):
        migrate(engine)
    engine.dispose()


def test_a_row_of_the_log_cannot_be_changed_even_by_hand(sql_store: SqlStore) -> None:
    begin(sql_store)
    with (
        pytest.raises(DBAPIError, match="rows of the log are never changed"),
        ways(sql_store.engine).writing.begin() as connection,
    ):
        connection.execute(text("UPDATE log SET value = 'gentle'"))
    assert rows_of(sql_store)[0].value == "standard"


def test_a_row_of_the_plan_cannot_be_changed_even_by_hand(sql_store: SqlStore) -> None:
    begin(sql_store)
    put(sql_store, dinner(1))
    with (
        pytest.raises(DBAPIError, match="rows of the plan are never changed"),
        ways(sql_store.engine).writing.begin() as connection,
    ):
        connection.execute(text("UPDATE plan_log SET value = 'stew'"))
    with sql_store.reading(HOME) as reading:
        assert list(reading.plan_history("dinner", "2027-01-04")) == [dinner(1)]


@pytest.mark.postgres
@pytest.mark.parametrize("tables", ["log", "plan_log", "household CASCADE"])
def test_neither_log_nor_plan_can_be_emptied_at_once(postgresql_url: str, tables: str) -> None:
    with closing(open_store(postgresql_url)) as store:
        begin(store)
        put(store, dinner(1))
        with (
            pytest.raises(DBAPIError, match="log is never emptied at once"),
            ways(store.engine).writing.begin() as connection,
        ):
            connection.execute(text(f"TRUNCATE {tables}"))
        assert len(rows_of(store)) == 1
        assert plan_of(store) == [("2027-01-04", '"soup"')]


def test_a_household_can_still_be_deleted_with_all_its_rows(sql_store: SqlStore) -> None:
    for household_id in (HOME, "other"):
        begin(sql_store, household_id)
        put(sql_store, dinner(1), household_id=household_id)
    with sql_store.writing(HOME) as writing:
        writing.clear()
    left = "SELECT household_id FROM log UNION ALL SELECT household_id FROM plan_log"
    with seeing_all(sql_store.engine).connect() as connection:
        assert connection.execute(text(left)).scalars().all() == ["other", "other"]


@pytest.mark.parametrize(
    "values",
    [
        "standing VALUES (:household, '2027-01-04', 'd1', '{}')",
        "plan_log VALUES (:household, 1, '2027-01-04', 'todo', 'a', '1', '2027-01-04 07:30:00', NULL, '')",
        "plan_value VALUES (:household, 'todo', 'a', '1', 1)",
        "plan_state VALUES (:household, 'rotation', '2027-01-04', 'd1', '{}')",
    ],
)
def test_a_row_of_no_household_is_refused_by_the_database(sql_store: SqlStore, values: str) -> None:
    statement = text(f"INSERT INTO {values}")
    with (
        pytest.raises(DBAPIError, match=r"(?i)foreign key"),
        seeing_all(sql_store.engine).begin() as connection,
    ):
        connection.execute(statement, {"household": HOME})
