"""The plan: its rows as they were written, what holds of them now, and saved folds."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Bring the tables from the version before to this one."""
    _make_plan_log()
    _make_plan_value()
    _make_plan_state()
    if op.get_context().dialect.name == "sqlite":
        _guard_sqlite()
    else:
        _guard_postgresql()


def _text(name: str) -> sa.Column[str]:
    return sa.Column(name, sa.Text(), nullable=False)


def _number(name: str) -> sa.Column[int]:
    return sa.Column(name, sa.BigInteger(), nullable=False, autoincrement=False)


def _belongs(table: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint(["household_id"], ["household.household_id"], name=f"fk_{table}_household")


def _make_plan_log() -> None:
    op.create_table(
        "plan_log",
        _text("household_id"),
        _number("seq"),
        sa.Column("date", sa.Date(), nullable=False),
        _text("what"),
        _text("key"),
        _text("value"),
        sa.Column("logged_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("request_id", sa.Text(), nullable=True),
        sa.PrimaryKeyConstraint("household_id", "seq", name="pk_plan_log"),
        sa.UniqueConstraint("household_id", "request_id", name="uq_plan_log_household_id_request_id"),
        _belongs("plan_log"),
    )
    columns = ["household_id", "what", "key", "seq"]
    op.create_index("ix_plan_log_household_id_what_key_seq", "plan_log", columns)


def _make_plan_value() -> None:
    # Keys are asked for by ranges, so every database has to put them in the same order.
    code_points = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")
    op.create_table(
        "plan_value",
        _text("household_id"),
        _text("what"),
        sa.Column("key", code_points, nullable=False),
        _text("value"),
        _number("seq"),
        sa.PrimaryKeyConstraint("household_id", "what", "key", name="pk_plan_value"),
        _belongs("plan_value"),
    )


def _make_plan_state() -> None:
    op.create_table(
        "plan_state",
        _text("household_id"),
        _text("name"),
        sa.Column("through", sa.Date(), nullable=False),
        _text("digest"),
        _text("state"),
        sa.PrimaryKeyConstraint("household_id", "name", "through", name="pk_plan_state"),
        _belongs("plan_state"),
    )
    op.create_index("ix_plan_state_household_id_through", "plan_state", ["household_id", "through"])


def _guard_sqlite() -> None:
    op.execute(
        "CREATE TRIGGER plan_log_is_append_only BEFORE UPDATE ON plan_log "
        "BEGIN SELECT RAISE(ABORT, 'rows of the plan are never changed'); END"
    )


def _guard_postgresql() -> None:
    op.execute(
        "CREATE FUNCTION refuse_to_change_the_plan() RETURNS trigger LANGUAGE plpgsql AS "
        "$$ BEGIN RAISE EXCEPTION 'rows of the plan are never changed'; END $$"
    )
    op.execute(
        "CREATE TRIGGER plan_log_is_append_only BEFORE UPDATE ON plan_log "
        "FOR EACH STATEMENT EXECUTE FUNCTION refuse_to_change_the_plan()"
    )
