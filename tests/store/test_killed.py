"""A program killed in the middle of writing loses nothing that it said was written."""

from __future__ import annotations

import os
import signal
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest

from coach.store.opening import open_store
from store.plan_tables import holding, said_by_the_log
from store.tern_street import begin, dinner, kept, plan_of, rows_of

TESTS = Path(__file__).parent.parent
PROGRAM = Path(__file__).parent / "append_forever.py"


def append_until_killed(url: str, first: int, after: int) -> int:
    """Let the program write, kill it once it has said `after` numbers, and give the last number it said."""
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join([str(TESTS), str(TESTS.parent)])}
    command = [sys.executable, str(PROGRAM), url, str(first)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=environment) as program:
        assert program.stdout is not None
        for _ in range(after):
            program.stdout.readline()
        program.kill()
        said = program.stdout.read().split()
    assert program.returncode == -signal.SIGKILL
    return int(said[-1]) if said else first + after - 1


def test_no_acknowledged_row_is_lost_when_the_program_is_killed(sqlite_url: str, tmp_path: Path) -> None:
    with closing(open_store(sqlite_url)) as store:
        begin(store)
    number = 1
    for after in (1, 7, 40, 150):
        acknowledged = append_until_killed(sqlite_url, number, after)
        with closing(sqlite3.connect(tmp_path / "home.db")) as connection:
            assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        with closing(open_store(sqlite_url)) as store:
            written = rows_of(store)[1:]
            dinners = plan_of(store)
            assert holding(store.engine) == said_by_the_log(store.engine)
        # The last request may have been written and not yet said; a request is there whole or not at all.
        number = len(written) // 2 + 1
        assert written == [kept(n, step) for n in range(1, number) for step in ("bed-made", "door-shelf")]
        assert acknowledged < number <= acknowledged + 2
        assert dinners == [(dinner(n).key, '"soup"') for n in range(1, number)]


@pytest.mark.postgres
def test_a_worker_that_is_killed_leaves_nothing_half_written_in_postgresql(
    laid_out_postgresql_url: str,
) -> None:
    with closing(open_store(laid_out_postgresql_url)) as store:
        begin(store)
        acknowledged = append_until_killed(laid_out_postgresql_url, 1, 40)
        written = rows_of(store)[1:]
        assert holding(store.engine) == said_by_the_log(store.engine)
        assert len(plan_of(store)) == len(written) // 2
    assert written == [
        kept(n, step) for n in range(1, len(written) // 2 + 1) for step in ("bed-made", "door-shelf")
    ]
    assert len(written) // 2 >= acknowledged
