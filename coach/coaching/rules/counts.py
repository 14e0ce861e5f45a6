"""Spells counted by their days and how they stand: what every estimate of where people stop begins with."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Sequence

    import numpy as np
    from numpy.typing import NDArray

    from coach.ground.spells import Ending, Spell

    Integers = NDArray[np.int64]

ENDS: tuple[Ending, ...] = ("settled", "set aside", "lapsed", "left")
"""How a spell can end, in the order in which tables and curves have them."""

STANDING: tuple[Ending, ...] = (*ENDS, "open")
"""Every way in which a spell can stand."""

FEWEST = 10
"""Below so many at risk a share is too few to tell anything by: a choice, see docs/where-people-stop.md."""


class Count(NamedTuple):
    """So many spells ended so on that day of theirs, or are open after so many closed days.

    Attributes:
        days: The day, 1 for the day of introduction.
        ending: How they ended, or `open`.
        households: How many.
    """

    days: int
    ending: Ending
    households: int


def counted(spells: Iterable[Spell]) -> list[Count]:
    """Spells put together, in the order of days and of endings."""
    found = Counter((spell.days, spell.ending) for spell in spells)
    return [Count(days, ending, households) for (days, ending), households in sorted(found.items())]


def entered(counts: Iterable[Count]) -> int:
    """How many spells there are."""
    return sum(count.households for count in counts)


def ended(counts: Iterable[Count], ending: Ending) -> int:
    """How many of them stand so."""
    return sum(count.households for count in counts if count.ending == ending)


def by_day(counts: Sequence[Count], endings: Collection[Ending]) -> Integers:
    """How many spells stand in one of these ways on each day, from day 0 to the longest spell's.

    Those of no day yet are left out: they are at risk of nothing.
    """
    import numpy as np  # noqa: PLC0415  no page of a household waits for it

    found = [0] * (max((count.days for count in counts), default=0) + 1)
    for days, ending, households in counts:
        if days > 0 and ending in endings:
            found[days] += households
    return np.array(found, dtype=np.int64)


def at_risk_by_day(counts: Sequence[Count]) -> Integers:
    """How many spells are at risk as each day begins, from day 0 to the longest spell's."""
    risk: Integers = by_day(counts, STANDING)[::-1].cumsum()[::-1]
    return risk


def too_few(households: int) -> bool:
    """Whether so many are too few to tell anything by a share of them."""
    return households < FEWEST
