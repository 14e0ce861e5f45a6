"""How large a chain `coach pace` follows: what this machine's memory holds, and what is said beforehand."""

from __future__ import annotations

import os
import sys
from typing import TYPE_CHECKING

from coach.pace.settling import MANY_STATES, MOST_OUTCOMES, MOST_STATES, STATE_BYTES, memory_for, states

if TYPE_CHECKING:
    from collections.abc import Iterable


def most_states() -> int:
    """So many states fit into this machine's memory; all that there can be where it does not tell."""
    try:
        memory = os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES")
    except (AttributeError, ValueError, OSError):
        return MOST_STATES
    return min(MOST_STATES, memory // STATE_BYTES)


def say_if_long(rules: Iterable[tuple[int, int]]) -> None:
    """Say before it begins which of some rules somebody will have to wait for."""
    for kept, of in sorted(set(rules)):
        many = states(kept, of) if 1 <= kept <= of <= MOST_OUTCOMES else 0
        if MANY_STATES < many <= most_states():
            said = f"{kept} of {of} has {many:,} states. That takes a while, and up to {memory_for(many)}."
            print(said, file=sys.stderr)
