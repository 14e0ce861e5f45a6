"""Lots spread over what there is: this process, several, or a cluster; the sums are always the same."""

from __future__ import annotations

from concurrent.futures import ProcessPoolExecutor
from functools import reduce
from multiprocessing import get_context
from operator import add
from typing import TYPE_CHECKING, Any

from coach.errors import Malformed
from coach.pace.lots import LOT, follow_lots

if TYPE_CHECKING:
    from coach.pace.lots import Simulation
    from coach.pace.tally import Tally

PATIENCE_SECONDS = 10
"""So long a cluster has to answer."""
NEEDS_DASK = "A cluster needs dask.distributed. Install it beside Steading: pip install 'steading[cluster]'"


def shares(simulation: Simulation, block: int) -> list[list[int]]:
    """The lots of each block: as many whole ones as it holds households, at least one."""
    each = max(1, block // LOT)
    return [list(range(at, min(at + each, simulation.lots))) for at in range(0, simulation.lots, each)]


def simulated(simulation: Simulation, block: int, processes: int = 1) -> Tally:
    """What the households of a simulation came to, worked out in one process or several on this machine."""
    blocks = shares(simulation, block)
    if processes == 1 or len(blocks) == 1:
        return reduce(add, (follow_lots(simulation, lots) for lots in blocks))
    # A process that is forked would take along what threads of this one hold.
    with ProcessPoolExecutor(min(processes, len(blocks)), get_context("spawn")) as pool:
        return reduce(add, pool.map(follow_lots, [simulation] * len(blocks), blocks))


def simulated_on(address: str, simulation: Simulation, block: int) -> Tally:
    """What they came to, worked out by the workers of a dask.distributed cluster.

    A block whose worker is lost is worked out by another one.

    Raises:
        Malformed: The library is missing, or nobody answers at the address.
    """
    try:
        from distributed import Client, as_completed  # noqa: PLC0415  an extra that most do without
    except ImportError:
        raise Malformed(NEEDS_DASK) from None
    try:
        client: Any = Client(address, timeout=PATIENCE_SECONDS, set_as_default=False)
    except (OSError, ValueError) as error:
        raise Malformed(_unreachable(address)) from error
    with client:
        blocks = shares(simulation, block)
        whole = client.scatter(simulation, broadcast=True)
        futures = [client.submit(follow_lots, whole, lots, pure=False) for lots in blocks]
        found: Tally = reduce(add, (future.result() for future in as_completed(futures)))
        return found


def _unreachable(address: str) -> str:
    return (
        f"No cluster answers at {address} within {PATIENCE_SECONDS} seconds. Look whether its scheduler runs "
        "there, or leave out --cluster."
    )
