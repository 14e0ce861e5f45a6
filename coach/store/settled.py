"""What the settings say of databases, as the store takes it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.store.opening import Databases

if TYPE_CHECKING:
    from coach.settings import Settings


def databases_of(settings: Settings) -> Databases:
    """Where households live, as it is set."""
    return Databases(
        settings.database,
        settings.databases,
        settings.new_homes,
        settings.counted_from,
        settings.prepare_after,
    )
