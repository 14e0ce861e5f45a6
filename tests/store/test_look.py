from __future__ import annotations

import os
import shutil
import sqlite3
from contextlib import closing
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

import pytest

from coach.errors import StoreError
from coach.store.look import file_of, look
from coach.store.migrations import revisions
from coach.store.opening import open_store
from coach.store.place import STRANGE_LOG
from commands.running import coach
from store.broken import change

if TYPE_CHECKING:
    from pathlib import Path

LOG = "date,what,step,value\n2027-01-04,start,bed-made,standard\n"
COLUMNS = "household_id, date, what, step, value"
COPY = f"INSERT INTO log ({COLUMNS}, seq, logged_at) SELECT {COLUMNS}, 999, ? FROM log LIMIT 1"  # noqa: S608  ours
OLDEST = revisions()[-1]


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A database with a household in it, to be copied."""
    file = tmp_path_factory.mktemp("kept") / "home.db"
    made = coach("import", "-", "--database", f"sqlite:///{file}", "--today", "2027-01-10", text=LOG)
    assert made.returncode == 0
    return file


@pytest.fixture
def database(kept: Path, tmp_path: Path) -> Path:
    """A database with a household in it that nobody has open."""
    file = tmp_path / "my home" / "home 100%.db"
    file.parent.mkdir()
    shutil.copy2(kept, file)
    return file


def beside(file: Path) -> dict[str, tuple[int, bytes]]:
    """What lies in a folder, with its times."""
    return {one.name: (one.stat().st_mtime_ns, one.read_bytes()) for one in file.parent.iterdir()}


def test_a_database_that_nobody_has_open_is_looked_at_and_left_as_it_is(database: Path) -> None:
    before = beside(database)
    seen = look(f"sqlite:///{database}")
    assert (seen.there, seen.current, seen.faults) == (True, True, ())
    assert seen.latest is not None
    assert datetime.now(UTC) - seen.latest < timedelta(minutes=5)
    assert beside(database) == before


def test_one_that_is_open_is_looked_at_with_what_was_written_last(database: Path) -> None:
    with closing(open_store(f"sqlite:///{database}")) as store:
        later = datetime.now(UTC) + timedelta(days=100)
        with closing(sqlite3.connect(database)) as other, other:
            other.execute(COPY, (f"{later:%Y-%m-%d %H:%M:%S.%f}",))
        assert store.trouble() is None
        assert look(f"sqlite:///{database}").latest == later


def test_one_of_an_earlier_version_is_not_brought_up_to_date(database: Path) -> None:
    with closing(sqlite3.connect(database)) as connection, connection:
        connection.execute("UPDATE alembic_version SET version_num = ?", (OLDEST,))
    seen = look(f"sqlite:///{database}")
    assert (seen.there, seen.current) == (True, False)
    with closing(sqlite3.connect(database)) as connection:
        assert connection.execute("SELECT version_num FROM alembic_version").fetchone()[0] == OLDEST


@pytest.mark.parametrize("content", [None, b""])
def test_where_there_is_none_none_is_made(tmp_path: Path, content: bytes | None) -> None:
    file = tmp_path / "none" / "home.db"
    if content is not None:
        file.parent.mkdir()
        file.write_bytes(content)
    assert not look(f"sqlite:///{file}").there
    assert file.exists() == (content is not None)


@pytest.mark.parametrize(
    ("statement", "said"),
    [
        ("UPDATE alembic_version SET version_num = '9999'", "newer Steading"),
        ("PRAGMA application_id = 7", "is not a Steading database"),
    ],
)
def test_one_that_is_not_ours_is_refused(database: Path, statement: str, said: str) -> None:
    change(database, [statement])
    with pytest.raises(StoreError, match=said):
        look(f"sqlite:///{database}")


def test_a_file_that_is_no_database_is_refused(tmp_path: Path) -> None:
    (tmp_path / "letter.db").write_text("Dear neighbours, " * 100)
    with pytest.raises(StoreError, match="is not a Steading database"):
        look(f"sqlite:///{tmp_path / 'letter.db'}")


def test_a_log_that_was_set_aside_is_told_of(database: Path) -> None:
    database.with_name(database.name + STRANGE_LOG).write_bytes(b"")
    (fault,) = look(f"sqlite:///{database}").faults
    assert "-before-end" in fault


def test_one_that_may_not_be_written_is_told_of(database: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("os.access", lambda _path, mode: mode != os.W_OK)
    (fault,) = look(f"sqlite:///{database}").faults
    assert "cannot be written" in fault


@pytest.mark.postgres
def test_one_on_a_server_is_looked_at_and_has_no_file(postgresql_url: str) -> None:
    assert file_of(postgresql_url) is None
    assert not look(postgresql_url).there
    open_store(postgresql_url).close()
    seen = look(postgresql_url)
    assert (seen.there, seen.current, seen.latest) == (True, True, None)
