"""Who finds the database kept by somebody else waits, and is refused only after a while."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing, contextmanager
from pathlib import Path
from threading import Timer
from typing import TYPE_CHECKING

import pytest

from coach.errors import Busy
from coach.store import households, wall
from coach.store.opening import open_store
from coach.store.waiting import Patience, Turns
from store.tern_street import HOME, NOW, add, begin, kept, rows_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from coach.store.households import SqlStore

WRITER = Path(__file__).parent / "write_forever.py"


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """The file of the SQLite store."""
    return tmp_path / "home.db"


@contextmanager
def another_program(file: Path, seconds: float) -> Iterator[None]:
    """A program that writes while the block runs, for so many seconds each time."""
    command = [sys.executable, str(WRITER), str(file), str(seconds)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as program:
        assert program.stdout is not None
        assert program.stdout.readline() == "writing\n"
        try:
            yield
            assert program.poll() is None
        finally:
            program.kill()


@contextmanager
def kept_busy(file: Path, seconds: float) -> Iterator[None]:
    """Somebody who has the right to write for a while."""
    with closing(sqlite3.connect(file, isolation_level=None, check_same_thread=False)) as other:
        other.execute("BEGIN IMMEDIATE")
        timer = Timer(seconds, other.rollback)
        timer.start()
        try:
            yield
        finally:
            timer.join()


def test_a_program_that_writes_over_and_over_lets_a_household_in(sqlite_store: SqlStore, file: Path) -> None:
    begin(sqlite_store)
    with another_program(file, 0.05), ThreadPoolExecutor(3) as phones:
        assert all(phones.map(lambda number: add(sqlite_store, kept(number)), range(1, 4)))
    assert len(rows_of(sqlite_store)) == 4


def test_a_household_waits_for_a_program_that_writes_for_seconds(sqlite_store: SqlStore, file: Path) -> None:
    begin(sqlite_store)
    with kept_busy(file, 3):
        assert add(sqlite_store, kept(1))


def test_waiting_for_ones_turn_and_for_another_program_ends_at_one_bound(
    sqlite_store: SqlStore, file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    begin(sqlite_store)
    monkeypatch.setattr(households, "WRITE_SECONDS", 0.5)

    def refused(number: int) -> float:
        since = time.monotonic()
        with pytest.raises(Busy, match=r"(Another program|Other writes) kept the database .*home\.db busy"):
            add(sqlite_store, kept(number))
        return time.monotonic() - since

    with kept_busy(file, 3), ThreadPoolExecutor(4) as phones:
        waited = list(phones.map(refused, range(4)))
    assert min(waited) >= 0.5
    assert max(waited) < 2
    assert len(rows_of(sqlite_store)) == 1
    assert add(sqlite_store, kept(1))


def test_who_comes_first_is_served_first_even_before_the_one_who_just_was() -> None:
    turns, served = Turns("home.db"), []

    def serve(name: str) -> None:
        with turns.take(Patience(30)):
            served.append(name)

    with ThreadPoolExecutor(2) as phones:
        with turns.take(Patience(30)):
            waiting = []
            for name in ("first", "second"):
                waiting.append(phones.submit(serve, name))
                wait_until(lambda: turns.waiting == len(waiting))
        serve("the one who just was")
    assert served == ["first", "second", "the one who just was"]


def test_who_gives_up_leaves_the_line_and_keeps_nobody_from_it() -> None:
    turns = Turns("home.db")
    impatient = turns.take(Patience(0.05))
    with turns.take(Patience(0)), pytest.raises(Busy, match=r"Other writes kept home\.db busy"):
        impatient.__enter__()
    assert turns.waiting == 0
    with turns.take(Patience(0)):
        pass


def wait_until(is_so: Callable[[], bool]) -> None:
    until = time.monotonic() + 30
    while not is_so():
        assert time.monotonic() < until
        time.sleep(0.001)


def test_a_connection_waits_as_before_once_it_has_begun_to_write(sqlite_store: SqlStore) -> None:
    begin(sqlite_store)
    with sqlite_store.engine.connect() as connection:
        assert connection.exec_driver_sql("PRAGMA busy_timeout").scalar_one() == 10_000


def test_a_file_that_another_program_is_writing_is_opened_when_it_is_done(
    sqlite_store: SqlStore, sqlite_url: str, file: Path
) -> None:
    begin(sqlite_store)
    sqlite_store.close()
    with closing(sqlite3.connect(file)) as connection:
        # As a restore leaves it where there was no database.
        connection.execute("PRAGMA journal_mode = DELETE")
    with kept_busy(file, 0.5), closing(open_store(sqlite_url)) as store:
        assert len(rows_of(store)) == 1


def test_a_try_that_fails_for_another_reason_is_not_repeated() -> None:
    tries = []

    def fail() -> None:
        tries.append(1)
        raise sqlite3.OperationalError("disk I/O error")

    with pytest.raises(sqlite3.OperationalError, match="disk"):
        Patience(9).until_free(fail)
    assert len(tries) == 1


def test_without_any_patience_there_is_one_try() -> None:
    assert Patience(0).until_free(lambda: "done") == "done"


@pytest.mark.postgres
def test_a_household_kept_by_another_worker_of_postgresql_is_tried_again(
    laid_out_postgresql_url: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(wall, "BUSY_SECONDS", 0.05)
    with (
        closing(open_store(laid_out_postgresql_url)) as first,
        closing(open_store(laid_out_postgresql_url)) as second,
    ):
        begin(first)
        with ThreadPoolExecutor(1) as phone:
            with first.writing(HOME) as writing:
                writing.append([kept(1)], NOW)
                waiting_one = phone.submit(add, second, kept(2))
                time.sleep(1)
                assert not waiting_one.done()
            assert waiting_one.result()
        assert rows_of(first)[1:] == [kept(1), kept(2)]


@pytest.mark.postgres
def test_postgresql_is_tried_again_for_so_long_and_no_longer(
    laid_out_postgresql_url: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(households, "WRITE_SECONDS", 0.5)
    monkeypatch.setattr(wall, "BUSY_SECONDS", 0.05)
    with (
        closing(open_store(laid_out_postgresql_url)) as first,
        closing(open_store(laid_out_postgresql_url)) as second,
    ):
        begin(first)
        with first.writing(HOME):
            since = time.monotonic()
            with pytest.raises(Busy, match="busy for too long"):
                add(second, kept(1))
            assert 0.5 <= time.monotonic() - since < 2
        assert add(second, kept(1))
