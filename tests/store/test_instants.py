"""When what stands in a household was written, over every store."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from sqlalchemy import text

from coach.ground.plan_rows import Asked, PlanRow, dated_keys
from coach.progress.log import Row, What
from coach.store.statements import DECIDED
from store.tern_street import HOME, NOW, begin, day, dinner, kept, todo

if TYPE_CHECKING:
    from coach.ground.ports import Store
    from coach.store.households import SqlStore

LATER, LAST = NOW + timedelta(hours=2), NOW + timedelta(hours=4)


def decided_at(store: Store) -> dict[str, object]:
    with store.reading(HOME) as reading:
        return dict(reading.decided_at())


def test_a_step_was_decided_on_when_the_last_row_that_is_no_mark_was_written(store: Store) -> None:
    begin(store)
    with store.writing(HOME) as writing:
        writing.append([Row(day(2), What.ADJUST, "bed-made", '{"minutes":3}')], LATER)
        writing.append([Row(day(2), What.PAUSE)], LATER)
        writing.append([kept(1), kept(2)], LAST)
    assert decided_at(store) == {"bed-made": LATER, "": LATER}


def test_a_mark_decides_nothing(store: Store) -> None:
    begin(store)
    with store.writing(HOME) as writing:
        writing.append([kept(1, "dishes-away"), Row(day(1), What.CLEAR, "bed-made")], LATER)
    assert decided_at(store) == {"bed-made": NOW}


def test_the_plan_says_when_what_holds_was_written(store: Store) -> None:
    begin(store)
    with store.writing(HOME) as writing:
        writing.put_plan([dinner(1), dinner(2), dinner(9), todo("a")], NOW)
        writing.put_plan([dinner(2, "stew"), todo("b")], LATER)
        writing.put_plan([PlanRow(day(1), "dinner", f"{day(1)}", "")], LAST)
    with store.reading(HOME) as reading:
        dinners, todos = reading.planned_at([Asked("dinner", *dated_keys(day(1), day(3))), Asked("todo")])
    assert dinners == {f"{day(2)}": LATER}
    assert todos == {"a": NOW, "b": LATER}


def test_nothing_is_asked_for_and_nothing_found(store: Store) -> None:
    begin(store)
    with store.reading(HOME) as reading:
        assert list(reading.planned_at([Asked("dinner")])) == [{}]


def test_decisions_are_found_without_reading_the_marks(sqlite_store: SqlStore) -> None:
    """The index of the few rows that mark nothing is used; ten years of marks would cost 13 ms."""
    begin(sqlite_store)

    with sqlite_store.engine.connect() as connection:
        asked = str(
            DECIDED.params(household=HOME).compile(
                sqlite_store.engine, compile_kwargs={"literal_binds": True}
            )
        )
        steps = connection.execute(text(f"EXPLAIN QUERY PLAN {asked}")).all()
    assert any("ix_log_decisions" in str(step) for step in steps)
