"""Lots spread over this process or several; the sums are always the same."""

from __future__ import annotations

from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from functools import reduce
from multiprocessing import get_context
from operator import add
from typing import TYPE_CHECKING

from coach.errors import NotReady
from coach.pace.lots import follow_lots
from coach.pace.sizes import LOT

if TYPE_CHECKING:
    from coach.pace.lots import Simulation
    from coach.pace.tally import Tally


def shares(simulation: Simulation, block: int) -> list[range]:
    """The lots of each block: as many whole ones as it holds households, at least one."""
    each = max(1, block // LOT)
    return [range(at, min(at + each, simulation.lots)) for at in range(0, simulation.lots, each)]


def simulated(simulation: Simulation, block: int, processes: int = 1) -> Tally:
    """What the households of a simulation came to, worked out in one process or several on this machine.

    Args:
        simulation: What to follow.
        block: Households that a process is given at a time, rounded down to whole lots.
        processes: How many.

    Raises:
        NotReady: A process was ended from outside.
    """
    blocks = shares(simulation, block)
    if processes == 1 or len(blocks) == 1:
        return reduce(add, (follow_lots(simulation, lots) for lots in blocks))
    # A process that is forked would take along what threads of this one hold.
    spawning = get_context("spawn")
    many = min(processes, len(blocks))
    with ProcessPoolExecutor(many, spawning, initializer=_given, initargs=(simulation,)) as pool:
        try:
            return reduce(add, pool.map(_followed, blocks))
        except BrokenProcessPool as error:
            raise NotReady(
                "One of the processes was ended from outside. Look for free memory, or ask for fewer "
                "with --processes."
            ) from error


_SENT: list[Simulation] = []
"""What a process of the pool was given as it began."""


def _given(simulation: Simulation) -> None:
    _SENT[:] = [simulation]


def _followed(lots: range) -> Tally:
    return follow_lots(_SENT[0], lots)
