"""What holds among many households: counting is the quickest way to ask it of a row of bytes."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray


def some(row: NDArray[Any]) -> bool:
    """Whether any is not 0."""
    return bool(np.count_nonzero(row))


def every(row: NDArray[Any]) -> bool:
    """Whether none is 0."""
    return bool(np.count_nonzero(row) == row.size)


def lines(grid: NDArray[np.bool_]) -> NDArray[np.int16]:
    """(H,) how many of (S, H) hold."""
    found: NDArray[np.int16] = np.add.reduce(grid, axis=0, dtype=np.int16)
    return found
