"""The first tables: households, their logs, the courses they follow and the saved standings."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the tables in an empty database."""
    _make_household()
    _make_log()
    _make_course_version()
    _make_standing()
    if op.get_context().dialect.name == "sqlite":
        _mark_and_guard_sqlite()
    else:
        _guard_postgresql()


def _text(name: str) -> sa.Column[str]:
    return sa.Column(name, sa.Text(), nullable=False)


def _belongs(table: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint(["household_id"], ["household.household_id"], name=f"fk_{table}_household")


def _make_household() -> None:
    op.create_table(
        "household",
        _text("household_id"),
        _text("course"),
        _text("zone"),
        sa.Column("day_starts", sa.Time(), nullable=False),
        sa.Column("week_starts", sa.Text(), nullable=False, server_default="monday"),
        sa.Column("version", sa.BigInteger(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("household_id", name="pk_household"),
    )


def _make_log() -> None:
    op.create_table(
        "log",
        _text("household_id"),
        sa.Column("seq", sa.BigInteger(), nullable=False, autoincrement=False),
        sa.Column("date", sa.Date(), nullable=False),
        _text("what"),
        _text("step"),
        _text("value"),
        sa.Column("logged_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("request_id", sa.Text(), nullable=True),
        sa.PrimaryKeyConstraint("household_id", "seq", name="pk_log"),
        sa.UniqueConstraint("household_id", "request_id", name="uq_log_household_id_request_id"),
        _belongs("log"),
    )
    op.create_index("ix_log_household_id_date", "log", ["household_id", "date"])


def _make_course_version() -> None:
    op.create_table(
        "course_version",
        _text("household_id"),
        sa.Column("since", sa.Date(), nullable=False),
        _text("digest"),
        _text("content"),
        sa.PrimaryKeyConstraint("household_id", "since", name="pk_course_version"),
        _belongs("course_version"),
    )


def _make_standing() -> None:
    op.create_table(
        "standing",
        _text("household_id"),
        sa.Column("through", sa.Date(), nullable=False),
        _text("digest"),
        _text("state"),
        sa.PrimaryKeyConstraint("household_id", "through", name="pk_standing"),
        _belongs("standing"),
    )


def _mark_and_guard_sqlite() -> None:
    op.execute(f"PRAGMA application_id = {0x53544541}")
    op.execute(
        "CREATE TRIGGER log_is_append_only BEFORE UPDATE ON log "
        "BEGIN SELECT RAISE(ABORT, 'rows of the log are never changed'); END"
    )


def _guard_postgresql() -> None:
    op.execute(
        "CREATE FUNCTION refuse_to_change_the_log() RETURNS trigger LANGUAGE plpgsql AS "
        "$$ BEGIN RAISE EXCEPTION 'rows of the log are never changed'; END $$"
    )
    op.execute(
        "CREATE TRIGGER log_is_append_only BEFORE UPDATE ON log "
        "FOR EACH STATEMENT EXECUTE FUNCTION refuse_to_change_the_log()"
    )
