"""The wall between households in PostgreSQL: a transaction sees the rows of the household it names alone."""

from __future__ import annotations

from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None

WALLED = (
    "household",
    "log",
    "course_version",
    "standing",
    "plan_log",
    "plan_value",
    "plan_state",
    "answered",
    "member",
    "sign_in",
    "message",
    "enrolment",
    "followed",
    "spell",
    "place",
)
"""Every table whose key begins with the household."""

AT_THE_DOOR = ("member", "sign_in", "message", "place")
"""Those that are also asked before it is known which household is meant."""

COUNTED = ("enrolment", "followed", "spell", "place")
"""Those that a coach's counts read of many households; never what was logged or planned."""

WRITTEN = ("log", "plan_log")
"""Those whose rows name a person, who is only forgotten when none does any more."""


def upgrade() -> None:
    """Make the policies; SQLite knows none and serves a home or a few."""
    if op.get_context().dialect.name == "sqlite":
        return
    for table in WALLED:
        # The owner is held too: the service is one.
        op.execute(f"ALTER TABLE {table} ENABLE ROW LEVEL SECURITY")
        op.execute(f"ALTER TABLE {table} FORCE ROW LEVEL SECURITY")
        op.execute(f"CREATE POLICY own ON {table} USING (household_id = {_said('household')})")
    for table in AT_THE_DOOR:
        op.execute(f"CREATE POLICY at_door ON {table} USING ({_said('door')} = 'on')")
    for table in COUNTED:
        op.execute(f"CREATE POLICY counted ON {table} FOR SELECT USING ({_said('counts')} = 'on')")
    for table in WRITTEN:
        op.execute(f"CREATE POLICY author ON {table} FOR SELECT USING (by = {_said('author')})")


def _said(name: str) -> str:
    # As a query of its own it is worked out once and not for every row. A setting of a transaction that is
    # over is an empty text, and one that never was is none.
    return f"(SELECT nullif(current_setting('steading.{name}', true), ''))"
