"""Every table there is, and which of them are asked before it is known which household is meant."""

from __future__ import annotations

from coach.store import coaching_tables, people_tables, sending_tables
from coach.store.tables import Table

AT_THE_DOOR = frozenset(
    {
        "person",
        "session",
        "code",
        "tally",
        "coach",
        "passkey",
        "recovery",
        "ceremony",
        "feed",
        "reminder",
        "service_key",
        "coached_group",
        "kept_course",
        "held_version",
        "question",
        "answer",
        "note",
        "published",
    }
)
"""Tables of who is let in, what is fetched, who is reminded, and what groups and their coaches have. They are
asked before it is known which household is meant, so their keys cannot begin with it, and nothing that a
household logged or planned stands in them."""

ALL_TABLES = Table.metadata
"""Every table there is, those of the households, of people and of what is sent."""

__all__ = ["ALL_TABLES", "AT_THE_DOOR", "coaching_tables", "people_tables", "sending_tables"]
