"""A household moves from one database to another while others write, and nothing is lost whatever happens."""

from __future__ import annotations

import threading
import time
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from datetime import UTC, datetime
from typing import TYPE_CHECKING

import pytest

from coach.coaching.library import FolderLibrary
from coach.errors import Busy, Malformed, NotReady, Unknown
from coach.ground.ports import Context
from coach.ground.situation import looking
from coach.progress.standing import replay_json
from coach.store import spread as spread_module
from coach.store.moving import Move
from places.conftest import opened
from places.homes import live, rows_at
from store.tern_street import add, kept, rows_of

if TYPE_CHECKING:
    from coach.store.spread import SpreadStore
    from places.servers import Servers

pytestmark = pytest.mark.postgres
WRITERS = 20
EACH = 12
STEPS = (
    "told the directory",
    "refused writes",
    "copied",
    "compared",
    "switched",
    "tidied first",
    "tidied third",
)


class Killed(BaseException):
    """The process that moves ends."""


def stands(store: SpreadStore, household: str) -> object:
    """What is worked out for a household."""
    context = Context(store, FolderLibrary(None), lambda: datetime(2027, 1, 8, 12, tzinfo=UTC))
    with looking(context, household) as where:
        return replay_json(where.standing)


def write_until_taken(store: SpreadStore, household: str, number: int, writer: int) -> None:
    """Mark as a phone does: the same request again until it is taken."""
    for _ in range(200):
        try:
            add(
                store,
                kept(number, f"step-{writer}"),
                request_id=f"w{writer}-{number}",
                household_id=household,
            )
        except Busy:
            time.sleep(0.02)
        else:
            return
    raise AssertionError("It was never taken.")


def test_twenty_writers_lose_nothing_while_their_household_moves_there_and_back(
    servers: Servers, spread: SpreadStore
) -> None:
    live(servers, "first", "busy")
    begun = threading.Barrier(WRITERS + 1)
    with closing(opened(servers)) as another, ThreadPoolExecutor(WRITERS) as pool:

        def write(writer: int) -> None:
            begun.wait()
            for number in range(1, EACH + 1):
                write_until_taken((spread, another)[writer % 2], "busy", number, writer)

        writing = [pool.submit(write, writer) for writer in range(WRITERS)]
        begun.wait()
        for name in ("third", "second", "first", "third"):
            moved = Move(spread, "busy", name).run()
            assert moved.place == name
        for one in writing:
            one.result()
    rows = rows_of(spread, household_id="busy")
    for writer in range(WRITERS):
        mine = [row for row in rows if row.step == f"step-{writer}"]
        assert mine == [kept(number, f"step-{writer}") for number in range(1, EACH + 1)]
    found = rows_at(spread, "busy")
    assert list(found) == ["third"]
    assert spread.directory.asked("busy") == ("third", "")


def test_what_is_worked_out_and_every_row_is_the_same_before_and_after(
    servers: Servers, spread: SpreadStore
) -> None:
    live(servers, "second", "calm")
    before, rows = stands(spread, "calm"), rows_at(spread, "calm")["second"]
    version = spread.version("calm")
    Move(spread, "calm", "third").run()
    assert stands(spread, "calm") == before
    assert rows_at(spread, "calm") == {"third": rows}
    assert spread.version("calm") == version
    with spread.reading("calm") as reading:
        assert [member.name for member in reading.members()] == ["Ana"]
        assert reading.names() == ["", "Ana"]


@pytest.mark.parametrize("step", STEPS)
def test_a_move_that_ends_at_any_step_leaves_the_household_whole_in_one_place_and_goes_on_when_told_again(
    servers: Servers, spread: SpreadStore, step: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(spread_module, "MOVE_SECONDS", 0)
    home = f"torn-{STEPS.index(step)}"
    live(servers, "second", home)
    rows = rows_at(spread, home)["second"]

    def end(done: str) -> None:
        if done == step:
            raise Killed

    with pytest.raises(Killed):
        Move(spread, home, "third", after=end).run()
    with closing(opened(servers)) as another:
        where = another.directory.asked(home)
        assert where is not None
        switched = STEPS.index(step) >= STEPS.index("switched")
        assert where.place == ("third" if switched else "second")
        assert rows_at(another, home)[where.place] == rows
        with another.reading(home) as reading:
            assert len(reading.rows()) == len(rows_of(spread, household_id=home)) == 2
        if switched or step == "told the directory":
            assert add(another, kept(2), household_id=home)
        else:
            with pytest.raises(Busy, match="being moved"):
                add(another, kept(2), household_id=home)
        Move(another, home, "third").run()
        assert list(rows_at(another, home)) == ["third"]
        assert add(spread, kept(3), household_id=home)


def test_nothing_is_written_between_the_copy_and_the_switch_wherever_it_moves(
    servers: Servers, spread: SpreadStore, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(spread_module, "MOVE_SECONDS", 0)
    live(servers, "second", "held")
    refused = []

    def write(done: str) -> None:
        if done in {"refused writes", "copied", "compared"}:
            with pytest.raises(Busy, match="being moved"):
                add(spread, kept(2), household_id="held")
            refused.append(done)
            assert len(rows_of(spread, household_id="held")) == 2

    for name in ("first", "third", "second"):
        Move(spread, "held", name, after=write).run()
    assert len(refused) == 9
    assert add(spread, kept(2), household_id="held")


def test_a_move_that_did_not_end_can_be_called_off_or_led_elsewhere(
    servers: Servers, spread: SpreadStore
) -> None:
    live(servers, "second", "undecided")

    def end(done: str) -> None:
        if done == "copied":
            raise Killed

    for name, after in (("second", "second"), ("first", "first")):
        with pytest.raises(Killed):
            Move(spread, "undecided", "third", after=end).run()
        Move(spread, "undecided", name).run()
        assert list(rows_at(spread, "undecided")) == [after]
        assert add(spread, kept(2), household_id="undecided")


def test_what_does_not_arrive_as_it_was_sent_stays_where_it_was(
    servers: Servers, spread: SpreadStore
) -> None:
    live(servers, "second", "garbled")
    with pytest.raises(NotReady, match="stays where it was"):
        Move(spread, "garbled", "third", same=lambda _one, _other: False).run()
    assert list(rows_at(spread, "garbled")) == ["second"]
    assert add(spread, kept(2), household_id="garbled")


def test_the_store_that_a_move_compares_by_looks_at_the_log_alone(
    servers: Servers, spread: SpreadStore
) -> None:
    live(servers, "second", "compared")
    seen: list[int] = []

    def same(one: object, other: object) -> bool:
        seen.extend(len(rows_of(store, household_id="compared")) for store in (one, other))  # type: ignore[arg-type]  # stores
        return True

    Move(spread, "compared", "third", same).run()
    assert seen == [2, 2]


def test_who_is_nowhere_and_where_nothing_is_are_told(spread: SpreadStore) -> None:
    with pytest.raises(Unknown, match="no household “nobody”"):
        Move(spread, "nobody", "third").run()
    with pytest.raises(Malformed, match="There are first, second, third"):
        Move(spread, "nobody", "fourth").run()
