"""Tables that are only added to cannot be emptied at once: PostgreSQL's TRUNCATE asks no other trigger."""

from __future__ import annotations

from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Guard the rows of log and plan in PostgreSQL; SQLite knows no TRUNCATE."""
    if op.get_context().dialect.name == "sqlite":
        return
    op.execute(
        "CREATE FUNCTION refuse_to_empty_at_once() RETURNS trigger LANGUAGE plpgsql AS "
        "$$ BEGIN RAISE EXCEPTION 'the table % is never emptied at once: "
        "delete the rows of one household', TG_TABLE_NAME; END $$"
    )
    for table in ("log", "plan_log"):
        op.execute(
            f"CREATE TRIGGER {table}_is_not_emptied_at_once BEFORE TRUNCATE ON {table} "
            "FOR EACH STATEMENT EXECUTE FUNCTION refuse_to_empty_at_once()"
        )
