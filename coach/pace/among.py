"""Whether something holds among many households: counting is the quickest way to ask it of a row of bytes."""

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
