"""How many outcomes it takes until a step settles: exact, by a Markov chain over its latest outcomes.

A step settles when at least k of its latest n outcomes, or of fewer, if there are fewer, are kept
(rules §5.9). Each is kept with the same chance, independently. The chain's states are the latest outcomes as
far as they can still matter (Fu 2001, doi 10.1239/jap/1011994181, embeds them all).
"""

from __future__ import annotations

from functools import lru_cache
from math import comb
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from coach.errors import Malformed
from coach.pace.distribution import Distribution

if TYPE_CHECKING:
    from numpy.typing import NDArray

MOST_OUTCOMES = 30
MOST_STATES = 6_000_000
_SETTLED = -1
_NONE = np.zeros(0, np.int64)
_NOTHING_LEFT = 1e-16
_STEADY = 1e-13
_MOST_DAYS = 200_000


class Chain(NamedTuple):
    """The states of a rule, by number, and where an outcome leads; state 0 is the beginning.

    Attributes:
        missed: For each state the one after a missed outcome.
        kept: The one after a kept outcome; -1 where the step settles.
    """

    missed: NDArray[np.int32]
    kept: NDArray[np.int32]


def states(kept: int, of: int) -> int:
    """How many states the chain of a rule has."""
    return comb(of, kept - 1)


def check_rule(kept: int, of: int) -> None:
    """Refuse a rule that is none, or whose chain is too large.

    Raises:
        Malformed: With what to ask for instead.
    """
    if not 1 <= kept <= of:
        raise Malformed(
            f"{kept} of {of} cannot be kept: the first number is at least 1, and at most the second."
        )
    if of > MOST_OUTCOMES:
        raise Malformed(
            f"{kept} of {of} looks at more than {MOST_OUTCOMES} outcomes. "
            "Simulate it instead: add --households 100000."
        )
    if states(kept, of) > MOST_STATES:
        raise Malformed(
            f"{kept} of {of} has {states(kept, of):,} states, too many to be followed exactly. "
            "Simulate it instead: add --households 100000."
        )


def settling(kept: int, of: int, chance: float) -> Distribution:
    """How many outcomes it takes until `kept` of the latest `of` are kept.

    Args:
        kept: From 1 to `of`.
        of: At most 30.
        chance: Of each outcome to be kept, from 0 to 1.

    Raises:
        Malformed: The rule is none, or cannot be followed exactly.
    """
    check_rule(kept, of)
    if chance <= 0:
        return Distribution(np.zeros(1), rest=1.0, hazard=0.0)
    chain = chain_of(kept, of)
    going_on = np.flatnonzero(chain.kept != _SETTLED)
    onward = chain.kept[going_on]
    ending = np.flatnonzero(chain.kept == _SETTLED)
    mass: NDArray[np.float64] = np.zeros(chain.missed.size)
    mass[0] = 1.0
    chances, hazard, alike = [0.0], 0.0, 0
    while alike < of and len(chances) < _MOST_DAYS:
        alive = float(mass.sum())
        if alive < _NOTHING_LEFT:
            return Distribution(np.array(chances))
        ended = chance * float(mass[ending].sum())
        before, hazard = hazard, ended / alive
        alike = alike + 1 if hazard > 0 and abs(hazard - before) <= _STEADY * hazard else 0
        onto_missed = _landing(chain.missed, mass * (1 - chance), mass.size)
        mass = onto_missed + _landing(onward, mass[going_on] * chance, mass.size)
        chances.append(ended)
    return Distribution(np.array(chances), rest=float(mass.sum()), hazard=hazard)


@lru_cache(maxsize=8)
def chain_of(kept: int, of: int) -> Chain:
    """The chain of a rule.

    A state is a number whose bits are the latest outcomes, the newest lowest. A kept outcome of age a, the
    oldest of j, is left out once a > of - kept + j: as it falls out of view, too few can have been kept. So
    the states are all numbers of of - kept + j bits of which j are set, for each j below `kept`.
    """
    known = np.sort(np.concatenate([_numbers(of - kept + many, many) for many in range(kept)]))
    return Chain(*(_numbered(known, _after(known, outcome, kept, of)) for outcome in (0, 1)))


def _landing(where: NDArray[np.int32], mass: NDArray[np.float64], size: int) -> NDArray[np.float64]:
    """The chances that come together in each state."""
    landed: NDArray[np.float64] = np.bincount(where, mass, size).astype(np.float64, copy=False)
    return landed


def _numbers(bits: int, many: int) -> NDArray[np.int64]:
    """All numbers of so many bits of which `many` are set, in order."""
    rows = {0: np.zeros(1, np.int64)}
    for bit in range(bits):
        wider = {
            count: np.concatenate([rows.get(count, _NONE), rows.get(count - 1, _NONE) | (1 << bit)])
            for count in range(max(1, many - (bits - bit - 1)), min(bit + 1, many) + 1)
        }
        rows = {0: rows[0], **wider}
    return rows.get(many, _NONE)


def _numbered(known: NDArray[np.int64], reached: NDArray[np.int64]) -> NDArray[np.int32]:
    numbers = np.searchsorted(known, reached).astype(np.int32)
    numbers[reached == _SETTLED] = _SETTLED
    return numbers


def _after(bits: NDArray[np.int64], outcome: int, kept: int, of: int) -> NDArray[np.int64]:
    """The states after an outcome."""
    after = (bits << 1) | outcome
    many = np.bitwise_count(after).astype(np.int64)
    settled = many >= kept
    while True:
        # frexp gives the exponent of a power of two above: the place of the oldest kept outcome, from 1.
        age = np.frexp(after.astype(np.float64))[1]
        gone = (after > 0) & (age > of - kept + many) & ~settled
        if not gone.any():
            break
        after[gone] -= np.int64(1) << (age[gone].astype(np.int64) - 1)
        many[gone] -= 1
    after[settled] = _SETTLED
    return after
