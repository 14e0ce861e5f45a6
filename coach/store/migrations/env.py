"""What Alembic runs: the migrations over the connection it is given.

When a new migration is written, the connection comes from `-x url=...` instead.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from alembic import context

from coach.store.engine import make_engine, ways
from coach.store.every_table import ALL_TABLES

if TYPE_CHECKING:
    from sqlalchemy import Connection


def run(connection: Connection) -> None:
    """Run what was asked for, inside the connection's transaction."""
    context.configure(connection=connection, target_metadata=ALL_TABLES, render_as_batch=True)
    with context.begin_transaction():
        context.run_migrations()


given = context.config.attributes.get("connection")
if given is not None:
    run(given)
else:
    engine = make_engine(context.get_x_argument(as_dictionary=True)["url"])
    with ways(engine).writing.begin() as opened:
        run(opened)
    engine.dispose()
