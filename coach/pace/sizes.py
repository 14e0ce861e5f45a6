"""How large a simulation and its lots are; apart from them, so that whoever says it loads no arrays."""

LOT = 8000
"""Households in a lot: as many as keep the processor's cache busy and not more."""
MOST_HOUSEHOLDS = 100_000_000
"""So many households can be followed; all their minutes of a day fit into 64 bits."""
