"""The wall between households in PostgreSQL holds where the service forgets to say whose rows it means."""

from __future__ import annotations

import subprocess
from contextlib import closing
from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING, Any

import pytest
from sqlalchemy import CompoundSelect, Delete, Select, Text, column, delete, select, table, text

from coach.errors import StoreError
from coach.ground.answered import Answered
from coach.ground.people import SignIn
from coach.ground.rows import SavedStanding
from coach.progress.log import Row, What
from coach.store import engine as engines
from coach.store import people_statements, statements
from coach.store.every_table import ALL_TABLES, AT_THE_DOOR
from coach.store.look import look
from coach.store.migrations.versions import v0007_the_wall as policies
from coach.store.opening import open_store
from coach.store.wall import COUNTS, SCOPE_OPTION, Scope, wall_fault
from store.postgres_server import OVER_ALL, USER, programs, seeing_all
from store.tern_street import HOME, NOW, begin, day, dinner, put, saved

if TYPE_CHECKING:
    from collections.abc import Iterator

    from sqlalchemy import Connection, Executable

    from coach.store.households import SqlStore

pytestmark = pytest.mark.postgres
OTHER = "other"
WALLED = sorted(
    table.name
    for table in ALL_TABLES.sorted_tables
    if next(iter(table.primary_key)).name == "household_id" and table.name not in AT_THE_DOOR
)
LOGGED = ("household", "log", "plan_log", "plan_value", "course_version", "standing", "answered")
VALUES: dict[str, Any] = {
    "household": OTHER,
    "since": date(2000, 1, 1),
    "before": date(2100, 1, 1),
    "on": date(2000, 1, 1),
    "old": date(2100, 1, 1),
    "first": date(2000, 1, 1),
    "last": date(2100, 1, 1),
    "answered_since": datetime(2000, 1, 1, tzinfo=UTC),
    "instant": datetime(2100, 1, 1, tzinfo=UTC),
    "unseen": datetime(2100, 1, 1, tzinfo=UTC),
    "most": 50,
    "number": 50,
    "dates": [],
    "spaced": [],
    "digests": ["d1"],
    "course_digest": "d1",
    "request": "r1",
    "kind": "dinner",
    "about": "2027-01-04",
    "fold": "rotation",
    "fold_digest": "d1",
}


@pytest.fixture
def street(laid_out_postgresql_url: str) -> Iterator[SqlStore]:
    """Two households that have a row in every table of theirs."""
    with closing(open_store(laid_out_postgresql_url)) as store:
        for household in (HOME, OTHER):
            furnish(store, household)
        yield store


def furnish(store: SqlStore, household: str) -> None:
    begin(store, household)
    put(store, dinner(1), request_id="r1", household_id=household)
    with store.writing(household) as writing:
        writing.append([Row(day(1), What.KEPT, "bed-made")], NOW, "r2", by="ana")
        writing.save_standings([saved(1)])
        writing.save_plan("rotation", SavedStanding(day(1), "d1", "{}"))
        writing.keep_answer("r2", Answered("a", 200, "{}"), NOW, NOW - timedelta(days=14))
    with store.people_writing() as people:
        if household == HOME:
            people.add_person("ana", "Ana", NOW)
        people.put_member(household, "ana", "keeper", NOW)
        people.add_sign_in(household, SignIn(NOW, "pairing", "let in"), 50)
        people.claim(household, "ana", ["2027-01-04"], NOW)
    with seeing_all(store.engine).begin() as connection:
        about = {"household": household}
        for filled in (
            "place VALUES (:household, 'first', '', now())",
            "enrolment VALUES (:household, 'Tern Street', 'g', now(), 'counted', now(), '2027-06-01')",
            "followed VALUES (:household, '2027-01-04', '2027-01-04', 'ramping', NULL, 0, '')",
            "spell VALUES (:household, 'bed', 'd', '2027-01-04', 1, 'open', NULL, '', NULL, 0, 0, '', '')",
        ):
            connection.execute(text(f"INSERT INTO {filled}"), about)


def seen_by(connection: Connection) -> dict[str, set[str]]:
    """Whose rows a transaction sees of each table, where it does not ask for anybody's."""
    whose = select(column("household_id", Text))
    return {name: set(connection.execute(whose.select_from(table(name))).scalars()) for name in WALLED}


def everywhere(*households: str) -> dict[str, set[str]]:
    """These households' rows in every table."""
    return {name: set(households) for name in WALLED}


def within(store: SqlStore, scope: Scope) -> Connection:
    """A transaction that may write within a scope, rolled back at the end."""
    return engines.ways(store.engine).writing.connect().execution_options(**{SCOPE_OPTION: scope})


def test_every_table_whose_key_begins_with_the_household_has_a_wall_that_holds_its_owner_too(
    street: SqlStore,
) -> None:
    asked = "SELECT relname FROM pg_class WHERE relrowsecurity AND relforcerowsecurity ORDER BY relname"
    with street.engine.connect() as connection:
        assert list(connection.execute(text(asked)).scalars()) == WALLED == sorted(policies.WALLED)
        assert wall_fault(connection) is None


def test_what_asks_for_everybody_sees_its_own_household_alone(street: SqlStore) -> None:
    with seeing_all(street.engine).connect() as connection:
        assert seen_by(connection) == everywhere(HOME, OTHER)
    with street.reading(HOME) as reading:
        assert seen_by(reading.connection) == everywhere(HOME)
    with street.writing(HOME) as writing:
        assert seen_by(writing.connection) == everywhere(HOME)


def test_what_names_nobody_sees_nothing(street: SqlStore) -> None:
    with street.engine.connect() as connection:
        assert seen_by(connection) == everywhere()


def test_what_deals_with_people_sees_no_log_and_no_plan(street: SqlStore) -> None:
    with street.people_writing() as people:
        found = seen_by(people.connection)
        assert {name for name, seen in found.items() if seen} == set(policies.AT_THE_DOOR)
        people.grow(HOME)
        assert seen_by(people.connection)["log"] == {HOME}


def test_what_counts_sees_what_households_let_be_counted_and_may_not_write(street: SqlStore) -> None:
    with within(street, COUNTS) as connection:
        found = seen_by(connection)
        assert {name for name, seen in found.items() if seen == {HOME, OTHER}} == set(policies.COUNTED)
        assert not any(found[name] for name in LOGGED)
        assert connection.execute(text("UPDATE enrolment SET level = 'by name'")).rowcount == 0
        assert connection.execute(text("DELETE FROM spell")).rowcount == 0


def every_statement() -> dict[str, Executable]:
    """Every statement about one household that the store has and that adds no rows, by name."""
    found: dict[str, Executable] = {}
    for module in (statements, people_statements):
        for name, value in vars(module).items():
            for number, one in enumerate(value if isinstance(value, tuple) else (value,)):
                if isinstance(one, Select | CompoundSelect | Delete) and "household" in one.compile().params:
                    found[f"{module.__name__}.{name}.{number}"] = one
    return found


@pytest.fixture(scope="module")
def known() -> dict[str, Executable]:
    return every_statement()


def rows_or_count(connection: Connection, statement: Executable) -> list[Any]:
    asked = statement.compile().params  # type: ignore[attr-defined]  # every one of ours can
    values = {name: VALUES.get(name, "x") for name, value in asked.items() if value is None}
    done = connection.execute(statement, values)
    if isinstance(statement, Delete):
        return ["gone"] * done.rowcount
    return [row for row in done.all() if any(row)]


def test_every_statement_of_the_store_that_means_another_household_finds_nothing(
    street: SqlStore, known: dict[str, Executable]
) -> None:
    found = {}
    for scope in (Scope(OTHER), Scope(HOME)):
        with within(street, scope) as connection:
            for name, statement in known.items():
                at_door = "session" in str(statement) or "code." in str(statement)
                if not at_door:
                    found[scope, name] = rows_or_count(connection, statement)
    # Without the wall most of them find something.
    assert sum(1 for (scope, _), rows in found.items() if scope == Scope(OTHER) and rows) > len(known) / 3
    assert [name for (scope, name), rows in found.items() if scope == Scope(HOME) and rows] == []


@pytest.mark.parametrize(
    "statement",
    [
        "INSERT INTO plan_value VALUES ('other', 'todo', 'a', '1', 1)",
        "INSERT INTO household VALUES ('third', 'c', 'UTC', '03:00', 'monday', 1, now())",
        "UPDATE enrolment SET household_id = 'third'",
    ],
)
def test_what_writes_for_another_household_is_refused(street: SqlStore, statement: str) -> None:
    with pytest.raises(StoreError, match="may not do this"), street.writing(HOME) as writing:
        writing.connection.execute(text(statement))


def test_what_changes_or_deletes_everything_reaches_its_own_household_alone(street: SqlStore) -> None:
    with street.writing(HOME) as writing:
        for name in reversed(WALLED):
            if name != "household":
                writing.connection.execute(delete(table(name)))
        writing.connection.execute(text("UPDATE household SET course = 'none'"))
    with seeing_all(street.engine).connect() as connection:
        left = seen_by(connection)
        assert left == everywhere(OTHER) | {"household": {HOME, OTHER}}
        said = connection.execute(text("SELECT course FROM household ORDER BY household_id")).scalars()
        assert list(said) == ["none", "three-weeks"]


def test_somebody_who_belongs_to_another_household_or_wrote_there_is_not_forgotten(street: SqlStore) -> None:
    with street.writing(HOME) as writing:
        writing.clear()
        assert not seen_by(writing.connection)["log"]
    with street.people_writing() as people:
        assert [member.name for member in people.members(OTHER)] == ["Ana"]
        people.drop_member(OTHER, "ana")
        people.forget_person("ana")
    with street.reading(OTHER) as reading:
        assert reading.names_of(["ana"]) == {"ana": "Ana"}
    with street.writing(OTHER) as writing:
        writing.clear()
    with street.reading(OTHER) as reading:
        assert reading.names_of(["ana"]) == {}


def test_nothing_that_was_said_stays_on_a_connection(street: SqlStore) -> None:
    with street.writing(HOME):
        pass
    street.version(HOME)
    assert street.shown("nobody") is None
    asked = (
        "SELECT concat(current_setting('steading.household', true), current_setting('steading.door', true))"
    )
    with engines.ways(street.engine).single.connect() as connection:
        assert connection.execute(text(asked)).scalar_one() == ""
        assert connection.execute(text("SHOW lock_timeout")).scalar_one() == "0"


def test_a_user_who_passes_over_the_wall_is_told(street: SqlStore) -> None:
    with seeing_all(street.engine).connect() as connection:
        assert "passes over the wall" in (wall_fault(connection) or "")
    assert street.gaps() == []
    url = street.engine.url.set(username=OVER_ALL).render_as_string(hide_password=False)
    with closing(open_store(url)) as store:
        [gap] = store.gaps()
    assert "Give Steading a user of its own" in gap
    assert look(url).faults == (gap.partition(": ")[2],)


def test_a_dump_that_would_leave_rows_out_is_refused_and_one_over_the_wall_is_whole(street: SqlStore) -> None:
    folder = programs()
    assert folder is not None

    def dumped(user: str) -> subprocess.CompletedProcess[str]:
        url = street.engine.url.set(username=user, drivername="postgresql")
        said = url.render_as_string(hide_password=False)
        command = [str(folder / "pg_dump"), "--data-only", "--table=log", said]
        return subprocess.run(command, check=False, capture_output=True, text=True)

    assert dumped(USER).returncode != 0
    whole = dumped(OVER_ALL)
    assert whole.returncode == 0
    assert all(f"{household}\t1\t" in whole.stdout for household in (HOME, OTHER))
