"""People, devices, ways in and answers; and who wrote each row of the log and of the plan."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Bring the tables from the version before to this one."""
    _say_who_wrote()
    _make_people()
    _make_ways_in()
    _make_records()


def _text(name: str) -> sa.Column[str]:
    return sa.Column(name, sa.Text(), nullable=False)


def _number(name: str) -> sa.Column[int]:
    return sa.Column(name, sa.BigInteger(), nullable=False, autoincrement=False)


def _instant(name: str, *, needed: bool = True) -> sa.Column[object]:
    return sa.Column(name, sa.DateTime(timezone=True), nullable=not needed)


def _say_who_wrote() -> None:
    # Columns are added in place: a copy of the table would lose its triggers.
    for table in ("log", "plan_log"):
        op.add_column(table, sa.Column("by", sa.Text(), nullable=False, server_default=""))
    op.add_column("log", sa.Column("version", sa.BigInteger(), nullable=True))
    op.add_column("log", _instant("tapped_at", needed=False))


def _make_people() -> None:
    op.create_table(
        "person",
        _text("person_id"),
        _text("name"),
        _instant("made_at"),
        sa.PrimaryKeyConstraint("person_id", name="pk_person"),
    )
    op.create_table(
        "member",
        _text("household_id"),
        _text("person_id"),
        _text("role"),
        _instant("since"),
        sa.PrimaryKeyConstraint("household_id", "person_id", name="pk_member"),
    )
    op.create_index("ix_member_person_id", "member", ["person_id"])


def _make_ways_in() -> None:
    op.create_table(
        "session",
        _text("secret"),
        _text("session_id"),
        _text("household_id"),
        _text("person_id"),
        _text("kind"),
        _text("scope"),
        _text("name"),
        _instant("made_at"),
        _instant("seen_at"),
        _instant("ends_at"),
        sa.PrimaryKeyConstraint("secret", name="pk_session"),
        sa.UniqueConstraint("session_id", name="uq_session_session_id"),
    )
    op.create_index("ix_session_household_id", "session", ["household_id"])
    op.create_index("ix_session_person_id", "session", ["person_id"])
    op.create_table(
        "code",
        _text("secret"),
        _text("household_id"),
        _text("kind"),
        _text("person_id"),
        _text("made_by"),
        _number("uses"),
        _number("wrong"),
        _instant("made_at"),
        _instant("ends_at"),
        sa.PrimaryKeyConstraint("secret", name="pk_code"),
    )
    op.create_index("ix_code_household_id", "code", ["household_id"])


def _make_records() -> None:
    op.create_table(
        "sign_in",
        _text("household_id"),
        _number("seq"),
        _instant("at"),
        _text("way"),
        _text("outcome"),
        _text("person_id"),
        _text("name"),
        _text("address"),
        sa.PrimaryKeyConstraint("household_id", "seq", name="pk_sign_in"),
    )
    op.create_table(
        "tally",
        _text("key"),
        _instant("since"),
        _number("count"),
        sa.PrimaryKeyConstraint("key", name="pk_tally"),
    )
    op.create_table(
        "answered",
        _text("household_id"),
        _text("request_id"),
        _text("asked"),
        _number("status"),
        _text("body"),
        _instant("at"),
        sa.PrimaryKeyConstraint("household_id", "request_id", name="pk_answered"),
    )
    op.create_index("ix_answered_household_id_at", "answered", ["household_id", "at"])
