"""Torn logs: the write-ahead log of a database is cut, garbled or emptied from some place on.

`PYTHONPATH=tests .venv/bin/python -m attack.torn --rounds 120`

In every other round the tear lies behind the last write that was answered, as after lost power; there nothing
answered may be missing. In the others it lies anywhere, as on a disk that gives back what was never written;
there the file has to stay whole, with the writes up to some one of them and none after a gap.
"""

from __future__ import annotations

import shutil
import sqlite3
import sys
from contextlib import closing
from typing import TYPE_CHECKING

from attack.rounds import run
from coach.errors import StoreError
from coach.store.opening import open_store
from store.plan_tables import holding, said_by_the_log
from store.tern_street import HOME, NOW, begin, dinner, kept, plan_of, rows_of

if TYPE_CHECKING:
    from pathlib import Path
    from random import Random

    from attack.rounds import Attack, Tally
    from coach.ground.ports import Store

ROUNDS = 120
STEPS = ("bed-made", "door-shelf")
MOST_ANSWERED = 90
MOST_MORE = 10
SECTOR = 512


def _write(store: Store, number: int) -> None:
    """One transaction in the log and in the plan."""
    with store.writing(HOME) as writing:
        writing.append([kept(number, step) for step in STEPS], NOW, f"r{number}")
        writing.put_plan([dinner(number)], NOW, f"r{number}")


def _copy(home: Path, to: Path) -> int:
    """Copy the database with its log as they lie on the disk, and give the log's length."""
    to.mkdir()
    for name in ("home.db", "home.db-wal"):
        shutil.copy(home / name, to / name)
    return (to / "home.db-wal").stat().st_size


def _tear(log: Path, lowest: int, random: Random) -> str:
    """Spoil the log from a place on that is not below the lowest, and say how."""
    content = bytearray(log.read_bytes())
    place = random.randint(lowest, len(content))
    how = random.choice(("cut", "garbled", "emptied", "one sector garbled"))
    match how:
        case "cut":
            del content[place:]
        case "garbled":
            content[place:] = random.randbytes(len(content) - place)
        case "emptied":
            content[place:] = bytes(len(content) - place)
        case _:
            end = min(place + SECTOR, len(content))
            content[place:end] = random.randbytes(end - place)
    log.write_bytes(content)
    return f"{how} at {place} of {len(content)}"


def _prepare(attack: Attack, number: int) -> tuple[Path, int, int, int]:
    """Copy a database after some answered writes and a few more.

    Returns:
        The folder of the copy, how many writes were answered, how many were written, and up to where its log
        held those that were answered.
    """
    home, torn, early = (attack.folder / f"{number}-{name}" for name in ("home", "torn", "early"))
    home.mkdir()
    answered = attack.random.randint(1, MOST_ANSWERED)
    more = attack.random.randint(1, MOST_MORE)
    with closing(open_store(f"sqlite:///{home / 'home.db'}")) as store:
        begin(store)
        for one in range(1, answered + 1):
            _write(store, one)
        length = _copy(home, early)
        for one in range(answered + 1, answered + more + 1):
            _write(store, one)
        _copy(home, torn)
    before, after = ((folder / "home.db-wal").read_bytes() for folder in (early, torn))
    same = after.startswith(before) and (early / "home.db").read_bytes() == (torn / "home.db").read_bytes()
    shutil.rmtree(early)
    shutil.rmtree(home)
    # Where the log was begun anew meanwhile, what was answered may stand anywhere in it.
    return torn, answered, answered + more, length if same else len(after)


def _round(attack: Attack, number: int) -> None:
    """Tear one log, and compare what is there afterwards with what was answered."""
    tally = attack.tally
    torn, answered, written, length = _prepare(attack, number)
    power = number % 2 == 0
    how = f"round {number}: {_tear(torn / 'home.db-wal', length if power else 0, attack.random)}"
    try:
        there = _whole_writes(tally, torn / "home.db", how)
    except StoreError as error:
        tally.count("refused with a sentence")
        tally.expect(not power, f"{how}: refused: {error}")
        return
    if power:
        tally.count("tears behind the last answer")
        tally.count("answered writes before those", answered)
        tally.expect(there >= answered, f"{how}: {answered} were answered, {there} are there")
    else:
        tally.count("tears anywhere")
        tally.count("writes before those", written)
        tally.count("of them gone", written - there)


def _whole_writes(tally: Tally, file: Path, how: str) -> int:
    """How many writes are there after a tear; each has to be whole, with all those before it."""
    with closing(open_store(f"sqlite:///{file}")) as store:
        rows, dinners = rows_of(store)[1:], plan_of(store)
        tally.expect(holding(store.engine) == said_by_the_log(store.engine), f"{how}: the plan differs")
    with closing(sqlite3.connect(file)) as connection:
        state = connection.execute("PRAGMA integrity_check").fetchall()
    tally.expect(state == [("ok",)], f"{how}: the file is damaged: {state}")
    numbers = range(1, len(rows) // len(STEPS) + 1)
    tally.expect(rows == [kept(one, step) for one in numbers for step in STEPS], f"{how}: a gap")
    tally.expect(dinners == [(dinner(one).key, '"soup"') for one in numbers], f"{how}: half a write")
    return len(numbers)


def attack_by_tearing(attack: Attack) -> None:
    """Write, tear, open, and look."""
    for number in range(attack.rounds):
        _round(attack, number)
        shutil.rmtree(attack.folder / f"{number}-torn")


def main(arguments: list[str]) -> int:
    """Run it by its arguments."""
    return run("torn", ROUNDS, attack_by_tearing, arguments)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
