"""Loading ahead what the estimates are worked out by, for where nobody waits for it."""

from __future__ import annotations


def load_statistics() -> None:
    """Load what medians and comparisons need; the first that asks would wait for it, half a second or so."""
    import scipy.stats  # noqa: F401, PLC0415  never on the way to a page
