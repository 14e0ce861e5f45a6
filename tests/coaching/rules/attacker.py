"""Somebody who writes down every table that was told and works out of them whatever can be worked out.

They know that nobody paused and who was counted throughout, which no coach is told. A kind of household is
everything that can become of one; how many there are of each kind is unknown, every number told is a sum
over kinds, and a population is known where the fewest and the most that it can have are the same whole
number.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

from coach.coaching.rules.counts import STANDING

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence
    from datetime import date

    from coach.coaching.rules.telling import Told
    from coach.ground.spells import Ending


class Kind(NamedTuple):
    """A household that began a step on a day, ended so after so many days, and was counted up to a table."""

    entered: int
    ending: Ending
    length: int
    last_table: int

    def stands(self, day: int) -> tuple[Ending, int] | None:
        """How it stands on a day, and its days so far; None before it began."""
        days = day - self.entered + 1
        if days < 1:
            return None
        return (self.ending, self.length) if self.length <= days else ("open", days)


class Attacker:
    """What is known from tables.

    Attributes:
        kinds: Every kind of household there can be.
    """

    def __init__(self, kinds: Sequence[Kind], tables: Sequence[tuple[int, Told]]) -> None:
        self.kinds = kinds
        told = [statement for number, table in tables for statement in _statements(number, table)]
        rows = [[holds(kind) for kind in kinds] for holds, _ in told]
        self._values = np.array([value for _, value in told], dtype=float)
        self._rows = np.array(rows, dtype=float).reshape(len(told), len(kinds))

    def knows(self, population: Callable[[Kind], bool]) -> int | None:
        """How many a population has, if that can be known."""
        wanted = np.array([population(kind) for kind in self.kinds], dtype=float)
        least = self._least(wanted)
        if least is None:
            return None
        most = self._least(-wanted)
        return least if most is not None and least == -most else None

    def _least(self, wanted: np.ndarray) -> int | None:
        found = milp(
            wanted,
            constraints=LinearConstraint(self._rows, self._values, self._values),
            integrality=np.ones(len(wanted)),
            bounds=Bounds(0, np.inf),
        )
        return round(found.fun) if found.status == 0 else None


def _statements(number: int, table: Told) -> Iterator[tuple[Callable[[Kind], bool], int]]:
    """Everything a table says: which kinds it counts, and how many."""
    for ending, blocks in table.blocks.items():
        before = 0
        for block in blocks:
            yield standing(table.as_of, (ending,), before + 1, block.day, number), block.households
            before = block.day
        yield standing(table.as_of, (ending,), before + 1, 10_000, number), 0
    hidden = tuple(ending for ending in STANDING if ending in table.hidden)
    yield standing(table.as_of, hidden, 1, 10_000, number), table.rest


def standing(
    as_of: date, endings: Sequence[Ending], first: int, last: int, number: int = 0
) -> Callable[[Kind], bool]:
    """Those who stand so as of a date, after so many days, and were counted in that table."""
    day = as_of.toordinal()

    def holds(kind: Kind) -> bool:
        found = kind.stands(day)
        return (
            found is not None
            and kind.last_table >= number
            and found[0] in endings
            and first <= found[1] <= last
        )

    return holds
