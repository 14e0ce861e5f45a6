"""Several databases: one that fails fails its own homes alone, and counts say what is missing."""

from __future__ import annotations

from contextlib import closing
from typing import TYPE_CHECKING

import psycopg
import pytest
from sqlalchemy import text

from coach.errors import StoreError
from coach.store import coordinator
from coach.store.moving import Move
from coach.store.opening import Databases, open_all
from coach.store.wall import COUNTS
from places.conftest import opened
from places.homes import live, rows_at
from places.servers import DATABASE, wait_until
from store.postgres_server import OVER_ALL
from store.tern_street import NOW, add, begin, day, kept, rows_of

if TYPE_CHECKING:
    from coach.store.spread import SpreadStore
    from places.servers import Servers

pytestmark = pytest.mark.postgres
STEPS_BEFORE_THE_SWITCH = 4


def test_a_new_household_goes_where_the_fewest_are(spread: SpreadStore) -> None:
    for number in range(6):
        begin(spread, f"new-{number}")
    assert len({next(iter(rows_at(spread, f"new-{number}"))) for number in range(6)}) > 1


def test_people_are_in_the_central_database_and_are_seen_from_every_other(
    servers: Servers, spread: SpreadStore
) -> None:
    live(servers, "third", "with-people")
    before = spread.version("with-people")
    with spread.people_writing() as people:
        people.add_person("with-people-ben", "Ben", NOW)
        people.put_member("with-people", "with-people-ben", "member", NOW)
    after = spread.version("with-people")
    assert before is not None
    assert after is not None
    assert after.version > before.version
    assert (before.members, after.members) == (1, 2)
    with spread.reading("with-people") as reading:
        assert {member.name for member in reading.members()} == {"Ana", "Ben"}
        assert reading.names_of(["with-people-ana"]) == {"with-people-ana": "Ana"}
    assert set(rows_at(spread, "with-people")) == {"third"}


def test_who_wrote_in_another_database_is_forgotten_when_the_last_row_is_gone(
    servers: Servers, spread: SpreadStore
) -> None:
    live(servers, "second", "leaving")
    ana = "leaving-ana"
    with spread.people_writing() as people:
        people.drop_member("leaving", ana)
        people.forget_person(ana)
    with spread.reading("leaving") as reading:
        assert reading.names_of([ana]) == {ana: "Ana"}
    with spread.writing("leaving") as writing:
        writing.clear()
    assert rows_at(spread, "leaving") == {}
    with spread.people_reading() as people:
        assert ana not in {one.person for one in people.everybody()}


def test_the_counts_of_all_are_put_together_and_a_household_that_moves_is_counted_once(
    servers: Servers, spread: SpreadStore
) -> None:
    for name in ("first", "second", "third"):
        live(servers, name, f"sum-{name}", group="sum")
    numbers = []

    def count(_: str) -> None:
        with spread.counting() as counting:
            [ended] = counting.ended("sum", day(3))
            numbers.append((ended.households, len(counting.seen("sum", day(3)))))

    count("")
    Move(spread, "sum-first", "third", after=count).run()
    # Between the switch and the last mark it is missing for a moment, and it is never counted twice.
    assert set(numbers) <= {(2, 2), (3, 3)}
    assert numbers.index((2, 2)) > STEPS_BEFORE_THE_SWITCH
    assert numbers[-1] == (3, 3)
    with spread.counting() as counting:
        assert len(counting.spells(["sum-first", "sum-second"])) == 2
        assert [one.household for one in counting.enrolments("sum")] == [
            "sum-first",
            "sum-second",
            "sum-third",
        ]


def test_one_database_that_is_killed_fails_its_own_homes_alone_and_is_missing_from_counts(
    servers: Servers, spread: SpreadStore
) -> None:
    live(servers, "second", "well", group="kill")
    live(servers, "third", "unlucky", group="kill")
    assert add(spread, kept(2), household_id="unlucky")
    third = servers.by_name["third"]
    third.kill()
    try:
        for ask in (spread.version, lambda home: add(spread, kept(3), household_id=home)):
            with pytest.raises(StoreError, match="cannot be reached"):
                ask("unlucky")
        assert add(spread, kept(2), household_id="well")
        with spread.counting() as counting:
            assert counting.missing == ("third",)
            assert [one.household for one in counting.enrolments("kill")] == ["well"]
        with closing(opened(servers)) as another:
            # It opens without the one that is gone.
            assert add(another, kept(3), household_id="well")
            faults = {one.name: one.fault for one in another.numbers()}
            assert not faults["second"]
            assert "cannot be reached" in faults["third"]
    finally:
        third.begin()
    assert [row.value or row.what.value for row in rows_of(spread, household_id="unlucky")][-1] == "kept"
    assert add(spread, kept(3), household_id="unlucky")
    with spread.counting() as counting:
        assert counting.missing == ()


def test_a_standby_answers_counts_and_takes_no_writes(servers: Servers) -> None:
    live(servers, "second", "followed", group="standby")
    standby = servers.standby.url(DATABASE)
    with closing(opened(servers, counted_from={"second": standby})) as store:

        def has_come() -> bool:
            with store.counting() as counting:
                return len(counting.seen("standby", day(3))) == 1

        wait_until(has_come)
        with store.counting() as counting:
            assert counting.missing == ()
    with closing(open_all(Databases(servers.url("first")))) as plain:
        assert plain is not None
    with psycopg.connect(standby) as connection, pytest.raises(psycopg.errors.ReadOnlySqlTransaction):
        connection.execute("DELETE FROM spell")


def test_a_coordinator_reads_the_counts_of_all_and_nothing_else(
    servers: Servers, spread: SpreadStore
) -> None:
    for name in ("first", "second", "third"):
        live(servers, name, f"far-{name}", group="far")
        with psycopg.connect(servers.url(name, OVER_ALL), autocommit=True) as connection:
            connection.execute(coordinator.reader().encode())
    first = servers.by_name["first"]
    first.run_sql("CREATE DATABASE counts")
    urls = {name: servers.url(name) for name in servers.by_name}
    with psycopg.connect(first.url("counts", OVER_ALL), autocommit=True) as connection:
        for statement in coordinator.coordinator(urls):
            connection.execute(statement.encode())
    with psycopg.connect(first.url("counts", coordinator.READER), autocommit=True) as connection:
        asked = "SELECT lives_in, household_id FROM enrolment WHERE group_id = 'far' ORDER BY 1"
        found = connection.execute(asked).fetchall()
        assert found == [(name, f"far-{name}") for name in sorted(urls)]
        for refused in ("TRUNCATE second.spell", "DELETE FROM second.spell"):
            with pytest.raises(psycopg.Error):
                connection.execute(refused.encode())
    refused_there = pytest.raises(psycopg.errors.InsufficientPrivilege)
    with psycopg.connect(servers.url("second", coordinator.READER)) as connection, refused_there:
        connection.execute("SELECT * FROM log")
    with spread.places["second"].snapshot(COUNTS) as snapshot:
        assert snapshot.execute(text("SELECT count(*) FROM spell")).scalar_one() > 0
