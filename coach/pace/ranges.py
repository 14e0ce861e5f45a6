"""What the days on which futures are done come to: quantiles, and the range that holds so many of them."""

from __future__ import annotations

from math import ceil
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

_DECIMALS = 6


def quantile(places: NDArray[np.int64], chance: float) -> int:
    """The smallest place by which at least that share of the futures is done.

    Args:
        places: (H,) the place of the day on which each is done, sorted.
        chance: From 0 to 1.
    """
    return int(places[max(ceil(round(chance * places.size, _DECIMALS)) - 1, 0)])


def central(places: NDArray[np.int64], share: float) -> tuple[int, int]:
    """The first and the last place of the range in the middle that holds a share of the futures.

    It begins as the range between two quantiles with as much outside on either side. Days are whole, and many
    futures may be done on one; so that range holds more than its share. Its end days are left out one by one,
    the one with fewer futures first, as long as what it holds comes nearer to the share.

    Args:
        places: (H,) the place of the day on which each is done, sorted.
        share: From 0 to 1.
    """
    outside = (1.0 - share) / 2.0
    begin = int(np.searchsorted(places, quantile(places, outside), "left"))
    end = int(np.searchsorted(places, quantile(places, 1.0 - outside), "right"))
    wanted = share * places.size
    while True:
        later = int(np.searchsorted(places, places[begin], "right"))
        sooner = int(np.searchsorted(places, places[end - 1], "left"))
        narrower = sorted([(later, end), (begin, sooner)], key=lambda ends: ends[0] - ends[1])
        nearer = [ends for ends in narrower if _off(ends, wanted) < _off((begin, end), wanted)]
        if not nearer:
            return int(places[begin]), int(places[end - 1])
        begin, end = nearer[0]


def around(places: NDArray[np.int64], share: float, within: tuple[int, int]) -> tuple[int, int]:
    """The range in the middle, made longer where it leaves out a quantile that is told beside it.

    It may where many futures are done on one day, as with a step that falls weekly. Nor is it ever one day
    alone: of the days before and after it that on which more are done is in it too, the later one of equals.

    Args:
        places: (H,) the place of the day on which each is done, sorted.
        share: From 0 to 1.
        within: The earliest and the latest place that it has to hold.
    """
    first, last = central(places, share)
    first, last = min(first, within[0]), max(last, within[1])
    if first < last:
        return first, last
    before, after = np.count_nonzero(places == first - 1), np.count_nonzero(places == last + 1)
    return (first - 1, last) if before > after else (first, last + 1)


def _off(ends: tuple[int, int], wanted: float) -> float:
    """By how many futures a range misses what it should hold; one that holds none misses by far."""
    begin, end = ends
    return abs(end - begin - wanted) if begin < end else float("inf")
