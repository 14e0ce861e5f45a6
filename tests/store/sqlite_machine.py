"""How SQLite finds rows, and how many steps of its own machine an act takes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from store.tern_street import HOME

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from sqlalchemy.sql import Executable

    from coach.store.households import SqlStore


def query_plan(store: SqlStore, statement: Executable, values: Mapping[str, object]) -> str:
    """How SQLite says it will find the rows."""
    asked: list[str] = []
    with store.engine.connect() as connection:
        driver = connection.connection.driver_connection
        assert driver is not None
        driver.set_trace_callback(asked.append)
        connection.execute(statement, {"household": HOME, **values})
        driver.set_trace_callback(None)
        steps = connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {asked[-1]}").all()
    return "; ".join(step[3] for step in steps)


def steps_taken(store: SqlStore, act: Callable[[], object]) -> int:
    """Instructions of SQLite's own machine for one act, which has to find or to write something."""
    taken = 0

    def count() -> int:
        nonlocal taken
        taken += 1
        return 0

    store.engine.dispose()
    with store.engine.connect() as connection:
        driver = connection.connection.driver_connection
        assert driver is not None
        driver.set_progress_handler(count, 1)
    assert act()
    assert taken > 0
    return taken
