"""Counting a group that is most of a PostgreSQL: what is saved of all is read from end to end, told alike."""

from __future__ import annotations

from contextlib import closing
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest
from sqlalchemy import text

from coach.ground.groups import BY_NAME, COUNTED, NOTHING
from coach.store import coaching_statements as statements
from coach.store.opening import open_store
from coach.store.wall import COUNTS
from store.test_coaching import FOLLOWED, NEXT, SPELL, enrolled

if TYPE_CHECKING:
    from collections.abc import Iterator

    from sqlalchemy import Select

    from coach.store.households import SqlStore

pytestmark = pytest.mark.postgres

FORMS = [(statements.ENDED, statements.ENDED_OF_MANY), (statements.WEEKS, statements.WEEKS_OF_MANY)]


@pytest.fixture
def town(laid_out_postgresql_url: str) -> Iterator[SqlStore]:
    """Eight households of one group and three of another, one of each sharing nothing."""
    with closing(open_store(laid_out_postgresql_url)) as store:
        for number in range(11):
            level = NOTHING if number > 8 else BY_NAME if number % 3 == 0 else COUNTED
            group = "g2" if number % 4 == 1 else "g1"
            with store.writing(f"h{number}") as writing:
                writing.put_enrolment(replace(enrolled(f"h{number}", level, NEXT), group=group))
                writing.save_followed(FOLLOWED, [replace(SPELL, sunday_days=1 + number % 2)])
        with store.engine.begin() as connection:
            connection.execute(text("ANALYZE"))
        yield store


def test_a_group_has_many_from_a_third_of_all_households_on(town: SqlStore) -> None:
    with town.snapshot(COUNTS) as connection:
        many = [
            connection.execute(statements.HAS_MANY, {"group": group, "on": NEXT}).scalar_one()
            for group in ("g1", "g2", "g3")
        ]
    assert many == [True, False, False]


@pytest.mark.parametrize(("few", "many"), FORMS)
def test_both_forms_tell_the_same(town: SqlStore, few: Select[Any], many: Select[Any]) -> None:
    for group, households in (("g1", 7), ("g2", 2)):
        with town.snapshot(COUNTS) as connection:
            told = [
                sorted(map(tuple, connection.execute(form, {"group": group, "on": NEXT})))
                for form in (few, many)
            ]
        assert told[0] == told[1]
        assert sum(row[-1] for row in told[0]) == households


@pytest.mark.parametrize(("few", "many"), FORMS)
def test_of_many_no_index_is_of_use(town: SqlStore, few: Select[Any], many: Select[Any]) -> None:
    # What comes by an index is in order and can be merged; sorting is off wherever it is counted.
    assert "Merge Cond" in plan(town, few)
    assert "Merge Cond" not in plan(town, many)


def plan(town: SqlStore, statement: Select[Any]) -> str:
    """How the server would bring both tables into the order of households."""
    written = statement.compile(town.engine)
    with town.snapshot(COUNTS) as connection:
        for way in ("seqscan", "hashjoin", "nestloop"):
            connection.execute(text(f"SET LOCAL enable_{way} = off"))
        asked = connection.exec_driver_sql(
            f"EXPLAIN {written}", {**written.params, "group": "g1", "on": NEXT}
        )
        return "\n".join(asked.scalars())
