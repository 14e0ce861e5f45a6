"""Several writers at once: two phones, two workers, two programs."""

from __future__ import annotations

import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor, wait
from contextlib import ExitStack, closing
from functools import partial
from pathlib import Path
from threading import Barrier
from typing import TYPE_CHECKING, TypeVar

import pytest
from sqlalchemy import text

from coach.errors import AlreadyStarted
from coach.ground.ports import CourseVersion
from coach.store.opening import open_store
from store.plan_tables import holding, said_by_the_log
from store.postgres_server import seeing_all
from store.tern_street import (
    COURSE,
    HOME,
    HOUSEHOLD,
    NOW,
    add,
    begin,
    day,
    dinner,
    kept,
    plan_of,
    put,
    rows_of,
    todo,
    version_of,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from coach.ground.ports import Store
    from coach.store.households import SqlStore
    from store.postgres_server import PostgresServer

WRITERS = 8
PROGRAM = Path(__file__).parent / "open_together.py"
TIMES = 6
Answer = TypeVar("Answer")


@pytest.fixture
def two_workers(laid_out_url: str) -> Iterator[list[SqlStore]]:
    """Two stores over one database, as in two processes: they share no lock and no connection."""
    with ExitStack() as opened:
        yield [opened.enter_context(closing(open_store(laid_out_url))) for _ in range(2)]


def at_once(act: Callable[[int], Answer]) -> list[Answer]:
    """What each writer answers when all of them begin at the same moment."""
    ready = Barrier(WRITERS)

    def run(writer: int) -> Answer:
        ready.wait()
        return act(writer)

    with ThreadPoolExecutor(WRITERS) as pool:
        return list(pool.map(run, range(WRITERS)))


def send(stores: Sequence[Store], number: int, writer: int) -> bool:
    """One writer's try at the one request that marks a day."""
    return add(stores[writer % len(stores)], kept(number), request_id=f"r{number}")


def test_one_request_sent_by_many_at_once_is_written_once(store: Store) -> None:
    begin(store)
    for number in range(1, 11):
        answers = at_once(partial(send, [store], number))
        assert sorted(answers) == [False] * (WRITERS - 1) + [True]
    assert rows_of(store)[1:] == [kept(number) for number in range(1, 11)]


def test_one_request_that_reaches_two_workers_is_written_once(two_workers: list[SqlStore]) -> None:
    begin(two_workers[0])
    for number in range(1, 6):
        answers = at_once(partial(send, two_workers, number))
        assert sorted(answers) == [False] * (WRITERS - 1) + [True]
    assert rows_of(two_workers[1])[1:] == [kept(number) for number in range(1, 6)]


def test_no_row_of_many_writers_is_lost(two_workers: list[SqlStore]) -> None:
    begin(two_workers[0])

    def write(writer: int) -> None:
        for number in range(1, 21):
            add(two_workers[writer % 2], kept(number, f"step-{writer}"))

    at_once(write)
    written = rows_of(two_workers[0])[1:]
    for writer in range(WRITERS):
        mine = [row for row in written if row.step == f"step-{writer}"]
        assert mine == [kept(number, f"step-{writer}") for number in range(1, 21)]
    with seeing_all(two_workers[0].engine).connect() as connection:
        seqs = connection.execute(text("SELECT seq FROM log ORDER BY seq")).scalars().all()
    assert list(seqs) == list(range(1, WRITERS * 20 + 2))


def test_one_request_for_the_plan_that_reaches_two_workers_is_written_once(
    two_workers: list[SqlStore],
) -> None:
    begin(two_workers[0])

    def write(writer: int) -> bool:
        return put(two_workers[writer % 2], dinner(1, f"dish {writer}"), request_id="r1")

    answers = at_once(write)
    assert sorted(answers) == [False] * (WRITERS - 1) + [True]
    assert plan_of(two_workers[1]) == [("2027-01-04", f'"dish {answers.index(True)}"')]


def test_many_who_plan_the_same_leave_what_the_last_one_wrote(two_workers: list[SqlStore]) -> None:
    begin(two_workers[0])

    def write(writer: int) -> None:
        for number in range(1, 11):
            shared = dinner(number, f"dish {writer}" if (writer + number) % 3 else "")
            put(two_workers[writer % 2], shared, todo(f"{writer}-{number}"))

    at_once(write)
    assert holding(two_workers[0].engine) == said_by_the_log(two_workers[0].engine)
    assert len(plan_of(two_workers[1], "todo")) == WRITERS * 10


def test_every_writer_sees_a_version_of_its_own(store: Store) -> None:
    begin(store)

    def write(writer: int) -> int:
        with store.writing(HOME) as writing:
            writing.append([kept(writer + 1)], NOW)
            household = writing.household()
        assert household is not None
        return household.version

    versions = at_once(write)
    assert len(set(versions)) == WRITERS
    assert version_of(store) == max(versions)


def test_a_household_created_by_many_at_once_is_created_once(store: Store) -> None:
    def create(_: int) -> bool:
        try:
            begin(store)
        except AlreadyStarted:
            return False
        return True

    assert sorted(at_once(create)) == [False] * (WRITERS - 1) + [True]
    assert len(rows_of(store)) == 1


def test_rows_written_while_the_log_is_replaced_are_lost_only_with_the_old_log(
    two_workers: list[SqlStore],
) -> None:
    begin(two_workers[0])

    def write(writer: int) -> None:
        if writer == 0:
            with two_workers[0].writing(HOME) as writing:
                writing.replace_log(HOUSEHOLD, [kept(1, "imported")], NOW)
        else:
            add(two_workers[writer % 2], kept(2, f"step-{writer}"), request_id="shared")

    at_once(write)
    rows = rows_of(two_workers[1])
    assert rows[0] == kept(1, "imported")
    assert len(rows) <= 2


def test_a_writer_that_waited_while_the_log_was_replaced_writes_to_the_new_one(
    two_workers: list[SqlStore],
) -> None:
    begin(two_workers[0])
    with ThreadPoolExecutor(1) as pool:
        with two_workers[0].writing(HOME) as writing:
            writing.clear()
            waiting = pool.submit(add, two_workers[1], kept(2), request_id="r2")
            # Long enough for the other to stand in line; should it come later, there is nothing to wait for.
            wait([waiting], timeout=0.3)
            writing.create(HOUSEHOLD)
            writing.append([kept(1, "imported")], NOW)
        assert waiting.result()
    assert rows_of(two_workers[1]) == [kept(1, "imported"), kept(2)]


def test_a_writer_that_waited_while_the_course_changed_sees_the_versions_that_hold(
    two_workers: list[SqlStore],
) -> None:
    begin(two_workers[0])
    later = CourseVersion(day(2), "d2")

    def seen() -> list[CourseVersion]:
        with two_workers[1].writing(HOME) as writing:
            return list(writing.courses())

    with ThreadPoolExecutor(1) as pool:
        with two_workers[0].writing(HOME) as writing:
            writing.add_course(later, "{}")
            waiting = pool.submit(seen)
            # Long enough for the other to stand in line; should it come later, there is nothing to wait for.
            wait([waiting], timeout=0.3)
        assert waiting.result() == [COURSE, later]


def open_at_once(urls: list[str], programs: int) -> list[tuple[str, str]]:
    """What programs say that open each of these databases at the same moment, and what they complain of."""
    command = [sys.executable, "-W", "error", str(PROGRAM), *urls]
    start = partial(
        subprocess.Popen,
        command,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    with ExitStack() as running:
        started = [running.enter_context(start()) for _ in range(programs)]
        for _ in urls:
            for program in started:
                assert program.stdout is not None
                program.stdout.readline()
            for program in started:
                assert program.stdin is not None
                program.stdin.write("\n")
                program.stdin.flush()
        return [program.communicate(timeout=60) for program in started]


def test_programs_that_open_a_new_database_at_once_all_succeed(tmp_path: Path) -> None:
    urls = [f"sqlite:///{tmp_path / f'{number}.db'}" for number in range(TIMES)]
    assert open_at_once(urls, programs=4) == [("done\n", "")] * 4


@pytest.mark.postgres
def test_workers_that_open_a_new_database_of_postgresql_at_once_all_succeed(
    postgres_server: PostgresServer,
) -> None:
    names = [postgres_server.new_database() for _ in range(3)]
    said = open_at_once([postgres_server.url(name) for name in names], programs=4)
    for name in names:
        postgres_server.drop_database(name)
    assert said == [("done\n", "")] * 4


def test_threads_that_open_new_databases_at_once_do_not_mix_them_up(tmp_path: Path) -> None:
    # Alembic has one place for the whole process in which it keeps what it is at.
    def open_own(writer: int) -> int:
        with closing(open_store(f"sqlite:///{tmp_path / f'{writer}.db'}")) as store:
            begin(store)
            return len(rows_of(store))

    assert at_once(open_own) == [1] * WRITERS


def test_threads_that_open_one_new_database_at_once_all_succeed(url: str) -> None:
    def open_shared(writer: int) -> int:
        with closing(open_store(url)) as store:
            begin(store, f"home {writer}")
            return len(rows_of(store, household_id=f"home {writer}"))

    assert at_once(open_shared) == [1] * WRITERS
