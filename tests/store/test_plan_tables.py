"""What holds of a plan is a cache: its log says the same, and the databases read it by one statement."""

from __future__ import annotations

from contextlib import closing
from random import Random
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import pytest
from sqlalchemy import event, text

from coach.errors import Malformed
from coach.ground.plan_rows import PlanRow
from coach.store.engine import ways
from coach.store.opening import open_store
from store.plan_tables import holding, said_by_the_log
from store.postgres_server import seeing_all
from store.tern_street import HOME, HOUSEHOLD, NOW, begin, day, dinner, held, held_of, put, todo

if TYPE_CHECKING:
    from coach.ground.ports import Writing
    from coach.store.households import SqlStore

KEYS = [f"{letter}{number}" for letter in "aBé🐕" for number in range(8)]


def a_row(chance: Random) -> PlanRow:
    value = chance.choice(["", "1", '"two"', "[3]"])
    return PlanRow(day(chance.randint(1, 9)), chance.choice(["area", "todo"]), chance.choice(KEYS), value)


def test_what_holds_can_be_made_again_from_the_log(sql_store: SqlStore) -> None:
    chance = Random(2027)  # noqa: S311  a story, not a secret
    for household_id in (HOME, "other"):
        begin(sql_store, household_id)
    for number in range(60):
        rows = [a_row(chance) for _ in range(chance.randint(1, 12))]
        put(sql_store, *rows, request_id=f"r{number // 2}", household_id=chance.choice([HOME, "other"]))
    held = holding(sql_store.engine)
    assert held == said_by_the_log(sql_store.engine)
    assert {home for home, _, _ in held} == {HOME, "other"}


def put_and_fail(writing: Writing) -> None:
    writing.put_plan([dinner(1, ""), todo("b")], NOW)
    writing.put_plan([todo("b", "\0")], NOW)


def test_what_holds_can_be_made_again_after_an_import_and_an_error(sql_store: SqlStore) -> None:
    begin(sql_store)
    put(sql_store, dinner(1), todo("a"))
    with pytest.raises(Malformed), sql_store.writing(HOME) as writing:
        put_and_fail(writing)
    with sql_store.writing(HOME) as writing:
        writing.replace_log(HOUSEHOLD, [], NOW)
    put(sql_store, dinner(1, "stew"))
    held = holding(sql_store.engine)
    assert held == said_by_the_log(sql_store.engine)
    assert held[HOME, "dinner", "2027-01-04"] == ('"stew"', 3)


def test_the_rows_of_a_plan_are_numbered_without_a_gap(sql_store: SqlStore) -> None:
    for household_id in (HOME, "other"):
        begin(sql_store, household_id)
    for number in range(1, 4):
        for household_id in (HOME, "other", HOME):
            put(
                sql_store,
                dinner(number),
                todo(f"{number}"),
                request_id=f"r{number}",
                household_id=household_id,
            )
    with seeing_all(sql_store.engine).connect() as connection:
        written = connection.execute(
            text("SELECT seq, request_id FROM plan_log WHERE household_id = 'home' ORDER BY seq")
        ).all()
    requests = ["r1", None, "r2", None, "r3", None]
    assert [tuple(row) for row in written] == list(enumerate(requests, start=1))


def test_the_instant_of_writing_is_kept_in_utc(sqlite_store: SqlStore) -> None:
    begin(sqlite_store)
    with sqlite_store.writing(HOME) as writing:
        writing.put_plan([dinner(1)], NOW.astimezone(ZoneInfo("Pacific/Auckland")))
    with sqlite_store.engine.connect() as connection:
        written = connection.execute(text("SELECT logged_at FROM plan_log")).scalar_one()
    assert written == f"{NOW:%Y-%m-%d %H:%M:%S.%f}"


def test_several_kinds_are_read_by_one_statement(sql_store: SqlStore) -> None:
    begin(sql_store)
    put(sql_store, dinner(1), todo("a"))
    asked: list[str] = []
    with sql_store.reading(HOME) as reading:
        event.listen(
            sql_store.engine, "before_cursor_execute", lambda *seen: asked.append(seen[2]), named=False
        )
        held_of(reading, ["dinner", "todo", "area", "due"])
    assert len([statement for statement in asked if statement.startswith("SELECT")]) == 1


@pytest.mark.postgres
def test_a_server_orders_words_by_its_language_and_a_plan_by_code_points(postgresql_url: str) -> None:
    # Only a server with another order of its own can show that a plan keeps to code points.
    with closing(open_store(postgresql_url)) as store, ways(store.engine).single.connect() as connection:
        assert connection.execute(text("SELECT 'a' < 'B'")).scalar_one()
        begin(store)
        put(store, todo("a"), todo("B"))
        with store.reading(HOME) as reading:
            assert [key for key, _ in held(reading, "todo", last="Z")] == ["B"]
