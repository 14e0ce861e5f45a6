"""Instants as the database gives them back."""

from __future__ import annotations

from datetime import UTC
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import datetime


def aware(at: datetime) -> datetime:
    """An instant with its zone: SQLite keeps none, and everything is written in UTC."""
    return at if at.tzinfo else at.replace(tzinfo=UTC)
