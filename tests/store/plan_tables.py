"""What holds of a plan as its table says, and as its log says when it is read from the first row on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import text

from store.postgres_server import seeing_all

if TYPE_CHECKING:
    from sqlalchemy import Engine

    Held = dict[tuple[str, str, str], tuple[str, int]]


def holding(engine: Engine) -> Held:
    """Value and row for each household, kind and key, as `plan_value` has them."""
    with seeing_all(engine).connect() as connection:
        rows = connection.execute(text("SELECT household_id, what, key, value, seq FROM plan_value"))
        return {(home, what, key): (value, seq) for home, what, key, value, seq in rows}


def said_by_the_log(engine: Engine) -> Held:
    """The same, made again from `plan_log` alone."""
    held: Held = {}
    with seeing_all(engine).connect() as connection:
        rows = connection.execute(
            text("SELECT household_id, what, key, value, seq FROM plan_log ORDER BY household_id, seq")
        )
        for home, what, key, value, seq in rows:
            held[home, what, key] = (value, seq)
    return {about: (value, seq) for about, (value, seq) in held.items() if value}
