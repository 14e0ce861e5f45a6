"""What a service of many homes does ahead of its coaches' pages."""

from __future__ import annotations

from coach.coaching.rules.loading import load_statistics


def get_ready() -> None:
    """Load what the page of where people stop needs: half a second or more, and memory that stays."""
    load_statistics()
