"""Feeds for calendar programs, reminders, what was sent, the service's own secrets, and when was decided."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Bring the tables from the version before to this one."""
    _make_feeds()
    _make_reminders()
    _make_records()
    _find_decisions()


def _text(name: str) -> sa.Column[str]:
    return sa.Column(name, sa.Text(), nullable=False)


def _instant(name: str, *, needed: bool = True) -> sa.Column[object]:
    return sa.Column(name, sa.DateTime(timezone=True), nullable=not needed)


def _make_feeds() -> None:
    op.create_table(
        "feed",
        _text("secret"),
        _text("feed_id"),
        _text("household_id"),
        _text("person_id"),
        _text("name"),
        _text("holds"),
        _instant("made_at"),
        _instant("seen_at", needed=False),
        sa.PrimaryKeyConstraint("secret", name="pk_feed"),
        sa.UniqueConstraint("feed_id", name="uq_feed_feed_id"),
    )
    op.create_index("ix_feed_household_id", "feed", ["household_id"])


def _make_reminders() -> None:
    op.create_table(
        "reminder",
        *map(_text, ("reminder_id", "household_id", "person_id", "way", "address", "key", "auth", "device")),
        sa.Column("at", sa.Time(), nullable=False),
        _instant("next_at"),
        _instant("made_at"),
        sa.PrimaryKeyConstraint("reminder_id", name="pk_reminder"),
        sa.UniqueConstraint("household_id", "person_id", name="uq_reminder_household_id_person_id"),
    )
    op.create_index("ix_reminder_next_at", "reminder", ["next_at"])


def _make_records() -> None:
    op.create_table(
        "message",
        _text("household_id"),
        _text("person_id"),
        _text("name"),
        _instant("claimed_at"),
        _text("outcome"),
        sa.PrimaryKeyConstraint("household_id", "person_id", "name", name="pk_message"),
    )
    op.create_table(
        "service_key",
        _text("name"),
        _text("secret"),
        _instant("made_at"),
        sa.PrimaryKeyConstraint("name", name="pk_service_key"),
    )


def _find_decisions() -> None:
    """The rows of the log that mark nothing, found without reading the others."""
    marks_nothing = sa.text("what NOT IN ('clear', 'excused', 'kept', 'missed', 'small')")
    op.create_index(
        "ix_log_decisions",
        "log",
        ["household_id", "step", "logged_at"],
        sqlite_where=marks_nothing,
        postgresql_where=marks_nothing,
    )
