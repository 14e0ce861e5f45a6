"""Whether this machine's clock can be right: some things are certain to be in the past."""

from __future__ import annotations

from datetime import UTC, datetime

EARLIEST = datetime(2026, 1, 1, tzinfo=UTC)
"""Before this there was no Steading; small computers lose their time when they lose power."""

SET_IT = "Set the clock, or let the system do it from the network (timedatectl set-ntp true)."


def fault_of(now: datetime) -> str | None:
    """What is wrong with a clock that says this, as a sentence; None if it may be right."""
    if now >= EARLIEST:
        return None
    return f"This machine's clock says {now:%Y-%m-%d %H:%M} UTC, which is long over."
