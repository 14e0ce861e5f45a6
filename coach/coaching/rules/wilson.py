"""A share with its 95 % interval by Wilson's score.

Source: Wilson 1927, Journal of the American Statistical Association 22:209; Newcombe 1998, Statistics in
Medicine 17:857, compares it with others.
"""

from __future__ import annotations

from math import sqrt
from statistics import NormalDist
from typing import NamedTuple

CONFIDENCE = 0.95
"""How often an interval is to hold what it is about."""

Z = NormalDist().inv_cdf((1 + CONFIDENCE) / 2)
"""How many standard errors such an interval reaches to either side."""


class Share(NamedTuple):
    """A share, and the interval around it."""

    share: float
    low: float
    high: float


def share(count: int, of: int) -> Share:
    """The share that some are of all, with Wilson's interval.

    Raises:
        ValueError: There are none, or more than all.
    """
    if not 0 <= count <= of or of == 0:
        raise ValueError(f"{count} of {of} is no share.")
    part, squared = count / of, Z * Z
    middle = part + squared / (2 * of)
    half = Z * sqrt(part * (1 - part) / of + squared / (4 * of * of))
    whole = 1 + squared / of
    # Where none or all did, the interval begins or ends there, which rounding must not spoil.
    low = 0.0 if count == 0 else (middle - half) / whole
    high = 1.0 if count == of else (middle + half) / whole
    return Share(part, low, high)
