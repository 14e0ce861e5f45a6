"""A file that is given as a backup is not trusted: it is refused by its name, or its rows are taken."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from coach.errors import Malformed
from coach.store.backup import backup, restore
from coach.store.opening import open_store
from coach.store.results import check_file
from store.broken import change, in_utf_16
from store.tern_street import add, begin, dinner, kept, plan_of, put, rows_of

if TYPE_CHECKING:
    from coach.store.households import SqlStore

VERSIONS = sorted((Path(__file__).parent / "versions").glob("*.sql"))


@pytest.fixture
def copy(sqlite_store: SqlStore, sqlite_url: str, tmp_path: Path) -> Path:
    """A backup of a household with a log and a plan."""
    begin(sqlite_store)
    add(sqlite_store, kept(1))
    put(sqlite_store, dinner(1))
    backup(sqlite_url, tmp_path / "b")
    return tmp_path / "b"


def refused(url: str, copy: Path, said: str) -> None:
    """A restore that changes nothing and names the file as the person does."""
    with closing(open_store(url)) as store:
        before = rows_of(store), plan_of(store)
        with pytest.raises(Malformed, match=said) as error:
            restore(url, copy, name="my stick.db")
        assert str(error.value).startswith("The backup my stick.db ")
        assert (rows_of(store), plan_of(store)) == before
    with pytest.raises(Malformed, match=said):
        check_file(copy)


@pytest.mark.parametrize(
    ("statement", "said"),
    [
        ("CREATE TRIGGER busy AFTER INSERT ON log BEGIN DELETE FROM log; END", "the trigger “busy” is not"),
        ("CREATE VIEW today AS SELECT * FROM log", "the view “today” is not"),
        ("CREATE TABLE recipe (title TEXT)", "the table “recipe” is not"),
        ("CREATE INDEX quick ON log (what)", "the index “quick” is not"),
        ("CREATE VIRTUAL TABLE words USING fts5(text)", "the table “words.*” is not"),
        ("DROP TABLE plan_value", "the table “plan_value” is missing"),
        ("ALTER TABLE log ADD COLUMN mood TEXT", "the table “log” is another one"),
        ("ALTER TABLE log ADD COLUMN mood TEXT AS (what || step)", "the table “log” is another one"),
        ("ALTER TABLE log RENAME COLUMN step TO habit", "the table “log” is another one"),
        ("DROP TABLE alembic_version", "does not say which version"),
        ("DELETE FROM alembic_version", "does not say which version"),
        ("UPDATE alembic_version SET version_num = x'00'", "does not say which version"),
        ("UPDATE alembic_version SET version_num = '9999'", "was written by a newer Steading"),
        ("PRAGMA application_id = 7", "is not a Steading database"),
    ],
)
def test_a_file_that_is_not_as_steading_makes_it_is_refused(
    sqlite_url: str, copy: Path, statement: str, said: str
) -> None:
    change(copy, [statement])
    refused(sqlite_url, copy, said)


def test_a_trigger_or_an_index_that_is_missing_is_made_again(
    sqlite_store: SqlStore, sqlite_url: str, copy: Path
) -> None:
    change(copy, ["DROP TRIGGER log_is_append_only", "DROP INDEX ix_log_household_id_date"])
    before = rows_of(sqlite_store), plan_of(sqlite_store)
    restore(sqlite_url, copy)
    assert (rows_of(sqlite_store), plan_of(sqlite_store)) == before
    file = sqlite_url.removeprefix("sqlite:///")
    with closing(sqlite3.connect(file)) as connection:
        names = {name for (name,) in connection.execute("SELECT name FROM sqlite_master")}
    assert {"log_is_append_only", "ix_log_household_id_date"} <= names


def test_a_table_that_is_a_view_in_truth_is_never_asked(sqlite_url: str, copy: Path) -> None:
    change(copy, ["DROP TABLE standing", "CREATE VIEW standing AS SELECT * FROM log"])
    refused(sqlite_url, copy, "the view “standing” is not Steading's; the table “standing” is missing")


def test_a_table_with_another_type_key_or_check_is_refused(sqlite_url: str, copy: Path) -> None:
    ours = "household_id TEXT NOT NULL REFERENCES household, through DATE NOT NULL, digest TEXT NOT NULL, "
    for table in (
        "household_id TEXT NOT NULL, through TEXT NOT NULL, digest TEXT NOT NULL, state TEXT NOT NULL",
        "household_id TEXT NOT NULL, through DATE NOT NULL, digest TEXT NOT NULL, state TEXT NOT NULL",
        f"{ours}state TEXT NOT NULL CHECK (random() IS NOT NULL), PRIMARY KEY (household_id, through)",
    ):
        change(copy, ["DROP TABLE standing", f"CREATE TABLE standing ({table})"])
        refused(sqlite_url, copy, "the table “standing” is another one")


def test_text_in_another_encoding_is_refused(sqlite_url: str, copy: Path, tmp_path: Path) -> None:
    in_utf_16(copy, tmp_path / "u")
    refused(sqlite_url, tmp_path / "u", "holds its text as UTF-16le")


@pytest.mark.parametrize(
    ("statement", "column"),
    [
        ("UPDATE household SET version = 'many'", "“household”, column “version”"),
        ("UPDATE household SET version = -1", "“household”, column “version”"),
        ("UPDATE household SET version = 9007199254740992", "“household”, column “version”"),
        ("UPDATE household SET zone = x'00ff'", "“household”, column “zone”"),
        ("UPDATE household SET day_starts = 'dawn'", "“household”, column “day_starts”"),
        ("UPDATE household SET created_at = '2027-01-04'", "“household”, column “created_at”"),
        ("UPDATE log SET date = 'infinity' WHERE seq = 2", "row 2 of the table “log”, column “date”"),
        ("UPDATE log SET date = '9999-12-31' WHERE seq = 2", "row 2 of the table “log”, column “date”"),
        ("UPDATE log SET date = 20270104", "“log”, column “date”"),
        ("UPDATE log SET value = char(0)", "“log”, column “value”"),
        ("UPDATE log SET seq = 1.5 WHERE seq = 2", "“log”, column “seq”"),
        ("UPDATE log SET what = CAST(x'ff' AS TEXT)", "text that is not UTF-8 in the table “log”"),
        ("UPDATE plan_log SET logged_at = '2027-01-04 07:30:00+05:00'", "“plan_log”, column “logged_at”"),
    ],
)
def test_a_value_that_a_column_does_not_take_is_named(
    sqlite_url: str, copy: Path, statement: str, column: str
) -> None:
    with closing(sqlite3.connect(copy)) as connection:
        found = connection.execute("SELECT sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
    drop = ["DROP TRIGGER log_is_append_only", "DROP TRIGGER plan_log_is_append_only"]
    change(copy, [*drop, statement, *(sql for (sql,) in found)])
    refused(sqlite_url, copy, column)


def test_a_date_that_is_missing_is_refused(sqlite_url: str, copy: Path) -> None:
    # The table itself refuses it, so a stranger has to lift that while writing.
    with closing(sqlite3.connect(copy)) as connection:
        schema = "UPDATE sqlite_master SET sql = replace(sql, ?, ?) WHERE name = 'standing'"
        connection.execute("PRAGMA writable_schema = ON")
        connection.execute(schema, ("through DATE NOT NULL", "through DATE"))
        connection.commit()
    with closing(sqlite3.connect(copy)) as connection:
        connection.execute("INSERT INTO standing VALUES ('home', NULL, 'd', '{}')")
        connection.execute("PRAGMA writable_schema = ON")
        connection.execute(schema, ("through DATE", "through DATE NOT NULL"))
        connection.commit()
    refused(sqlite_url, copy, "is damaged: NULL value in standing.through")


def test_rows_are_taken_and_not_pages(
    sqlite_store: SqlStore, sqlite_url: str, copy: Path, tmp_path: Path
) -> None:
    change(copy, ["INSERT INTO standing VALUES ('home', '2027-01-05', 'd', '" + "unseen" * 2000 + "')"])
    change(copy, ["PRAGMA secure_delete = OFF", "DELETE FROM standing"])
    assert b"unseen" in copy.read_bytes()
    restore(sqlite_url, copy)
    assert kept(1) in rows_of(sqlite_store)
    sqlite_store.close()
    assert b"unseen" not in (tmp_path / "home.db").read_bytes()


def test_a_file_that_is_looked_at_stays_as_it_is(sqlite_url: str, copy: Path) -> None:
    before = copy.read_bytes(), sorted(path.name for path in copy.parent.iterdir())
    restore(sqlite_url, copy)
    check_file(copy)
    assert (copy.read_bytes(), sorted(path.name for path in copy.parent.iterdir())) == before


@pytest.mark.parametrize("dump", VERSIONS, ids=lambda path: path.stem)
def test_every_landed_version_is_brought_back(sqlite_url: str, tmp_path: Path, dump: Path) -> None:
    source = tmp_path / "landed"
    with closing(sqlite3.connect(source)) as connection:
        connection.executescript(dump.read_text("utf-8"))
        rows = connection.execute("SELECT count(*) FROM log WHERE household_id = 'home'").fetchone()[0]
    restore(sqlite_url, source)
    with closing(open_store(sqlite_url)) as store:
        assert len(rows_of(store)) == rows > 0


def test_a_file_as_a_running_service_leaves_it_is_taken_and_gets_nothing_beside_it(
    sqlite_store: SqlStore, sqlite_url: str, copy: Path, tmp_path: Path
) -> None:
    sqlite_store.close()
    folder = tmp_path / "stick"
    folder.mkdir()
    shutil.copyfile(tmp_path / "home.db", folder / "raw.db")
    assert (folder / "raw.db").read_bytes()[18:20] == b"\x02\x02"
    assert check_file(folder / "raw.db") == check_file(copy)
    restore(sqlite_url, folder / "raw.db")
    assert [path.name for path in folder.iterdir()] == ["raw.db"]
    assert kept(1) in rows_of(sqlite_store)


def test_what_is_still_in_the_log_beside_a_file_is_taken_too(
    sqlite_store: SqlStore, sqlite_url: str, copy: Path, tmp_path: Path
) -> None:
    assert copy.exists()
    for name in ("home.db", "home.db-wal"):
        shutil.copyfile(tmp_path / name, tmp_path / name.replace("home", "other"))
    assert (tmp_path / "other.db-wal").stat().st_size > 0
    restore(sqlite_url, tmp_path / "other.db")
    assert kept(1) in rows_of(sqlite_store)
