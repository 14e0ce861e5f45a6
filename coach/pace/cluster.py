"""Lots followed by the workers of a dask.distributed cluster; the sums are those of one process."""

from __future__ import annotations

import asyncio
import logging
from concurrent.futures import CancelledError
from functools import reduce
from operator import add
from typing import TYPE_CHECKING, Any

from coach.errors import Malformed, NotReady
from coach.pace.lots import follow_lots
from coach.pace.spreading import shares

if TYPE_CHECKING:
    from coach.pace.lots import Simulation
    from coach.pace.tally import Tally

PATIENCE_SECONDS = 10
"""So long a scheduler has to answer, and as long again to have a worker."""
RETRIES = 3
"""A block is worked out anew so often where a worker could not."""
_NO_ADDRESS = (OSError, ValueError, TypeError, RuntimeError)
_NEEDS = (
    "A cluster needs one more library: install it with `python3 -m pip install 'coach[cluster]'`, "
    "or leave out --cluster."
)
_OTHERS = "The workers of the cluster need Steading and its libraries as they are installed here: {}."
_LOST = "The cluster was lost before its work was done. Nothing was written; try again."


def simulated_on(address: str, simulation: Simulation, block: int) -> Tally:
    """What households came to, worked out by the workers of a cluster.

    Sent are the simulation, once, and numbers of lots; sums come back. A block whose worker is lost is worked
    out by another one, and comes to the same.

    Args:
        address: Of the scheduler, such as `tcp://10.0.0.5:8786`.
        simulation: What to follow.
        block: Households that one worker follows at a time, rounded down to whole lots.

    Raises:
        Malformed: Nobody answers at the address, or there is no worker.
        NotReady: The library is missing here, Steading is missing there, or the cluster was lost.
    """
    try:
        from distributed import Client  # noqa: PLC0415  an extra that most do without
    except ImportError:
        raise NotReady(_NEEDS) from None
    _check_answers(address)
    connect: Any = Client
    try:
        client = connect(address, timeout=PATIENCE_SECONDS, set_as_default=False)
    except _NO_ADDRESS as error:
        raise Malformed(_unreachable(address)) from error
    with client:
        _wait_for_workers(client, address)
        try:
            return _summed(client, simulation, block)
        except ModuleNotFoundError as error:
            raise NotReady(_OTHERS.format(error)) from error
        except (OSError, CancelledError, RuntimeError) as error:
            raise NotReady(_LOST) from error


def _check_answers(address: str) -> None:
    """Ask who is there before a client is made, which would go on asking for long."""
    asking = logging.getLogger("distributed")
    level = asking.level
    asking.setLevel(logging.CRITICAL)
    try:
        kind = asyncio.run(asyncio.wait_for(_kind(address), PATIENCE_SECONDS))
    except _NO_ADDRESS as error:
        raise Malformed(_unreachable(address)) from error
    finally:
        asking.setLevel(level)
    if kind != "Scheduler":
        raise Malformed(f"At {address} there is a {str(kind).lower()}. Name the address of the scheduler.")


async def _kind(address: str) -> object:
    """What answers at an address says that it is."""
    from distributed import Security  # noqa: PLC0415  the same
    from distributed.core import rpc  # noqa: PLC0415  the same

    if "://" not in address:
        raise ValueError(address)
    asked: Any = rpc
    settings: Any = Security
    args = settings().get_connection_args("client")
    async with asked(address, timeout=PATIENCE_SECONDS, connection_args=args) as there:
        return (await there.identity())["type"]


def _wait_for_workers(client: Any, address: str) -> None:  # noqa: ANN401  the library has no types
    try:
        client.wait_for_workers(1, timeout=PATIENCE_SECONDS)
    except OSError as error:
        raise Malformed(
            f"The cluster at {address} has no worker. Start one there: dask worker {address}"
        ) from error


def _summed(client: Any, simulation: Simulation, block: int) -> Tally:  # noqa: ANN401  the same
    from distributed import as_completed  # noqa: PLC0415  the same

    each: Any = as_completed
    # A task, not scattered data: lost with its worker, it is made anew from the scheduler's copy.
    whole = client.submit(_itself, simulation, pure=False, retries=RETRIES)
    futures = [
        client.submit(follow_lots, whole, lots, pure=False, retries=RETRIES)
        for lots in shares(simulation, block)
    ]
    total: Tally = reduce(add, (future.result() for future in each(futures, loop=client.loop)))
    return total


def _itself(simulation: Simulation) -> Simulation:
    return simulation


def _unreachable(address: str) -> str:
    return (
        f"No cluster answers at “{address}”. Its scheduler says its address as it starts, such as "
        "tcp://10.0.0.5:8786. Look whether it runs there, or leave out --cluster."
    )
