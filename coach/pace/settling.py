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
    from collections.abc import Callable

    from numpy.typing import NDArray
    from scipy.sparse import csr_array

    Floats = NDArray[np.float64]

SIMULATE = "Simulate it instead: add --households 100000."
MOST_OUTCOMES = 30
MOST_STATES = 3_200_000
"""Some seconds of one core, and 250 MB."""
FEW_STATES = 20_000
"""So many states are followed without SciPy, whose loading would take longer."""
_SETTLED = -1
_NONE = np.zeros(0, np.int64)
_NOTHING_LEFT = 1e-16
_STEADY = 1e-13
_MOST_DAYS = 200_000
_AS_GOOD_AS_NEVER = 1e-280
"""A part that settles with each outcome so small that numbers soon cannot hold it."""
_NEVER = Distribution(np.zeros(1), rest=1.0, hazard=0.0)


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


def check_kept(kept: int, of: int) -> None:
    """Refuse a rule that is none.

    Raises:
        Malformed: With what its numbers are to be.
    """
    if not 1 <= kept <= of:
        raise Malformed(
            f"{kept} of {of} cannot be kept: the first number is at least 1, and at most the second."
        )


def check_rule(kept: int, of: int) -> None:
    """Refuse a rule that is none, or whose chain is too large.

    Raises:
        Malformed: With what to ask for instead.
    """
    check_kept(kept, of)
    if of > MOST_OUTCOMES:
        raise Malformed(f"{kept} of {of} looks at more than {MOST_OUTCOMES} outcomes. {SIMULATE}")
    if states(kept, of) > MOST_STATES:
        raise Malformed(
            f"{kept} of {of} has {states(kept, of):,} states, too many to be followed exactly. {SIMULATE}"
        )


def settling(kept: int, of: int, chance: float) -> Distribution:
    """How many outcomes it takes until `kept` of the latest `of` are kept.

    Args:
        kept: From 1 to `of`.
        of: At most 30.
        chance: Of each outcome to be kept, from 0 to 1. Where it is so small that it cannot be told from
            none, the step never settles.

    Raises:
        Malformed: The rule is none, or cannot be followed exactly.
    """
    check_rule(kept, of)
    if chance <= 0:
        return _NEVER
    chain = chain_of(kept, of)
    ending = np.flatnonzero(chain.kept == _SETTLED)
    onward = _carrying(chain, chance)
    mass: Floats = np.zeros(chain.missed.size)
    mass[0] = 1.0
    chances, hazard, alike = [0.0], 0.0, 0
    while alike < of and len(chances) < _MOST_DAYS:
        alive = float(mass.sum())
        if alive < _NOTHING_LEFT:
            return Distribution(np.array(chances))
        ended = chance * float(mass[ending].sum())
        before, hazard = hazard, ended / alive
        if len(chances) > of and hazard < _AS_GOOD_AS_NEVER:
            return _NEVER
        alike = alike + 1 if hazard > 0 and abs(hazard - before) <= _STEADY * hazard else 0
        mass = onward(mass)
        chances.append(ended)
    return Distribution(np.array(chances), rest=float(mass.sum()), hazard=hazard)


@lru_cache(maxsize=4)
def chain_of(kept: int, of: int) -> Chain:
    """The chain of a rule.

    A state is a number whose bits are the latest outcomes, the newest lowest. A kept outcome of age a, the
    oldest of j, is left out once a > of - kept + j: as it falls out of view, too few can have been kept. So
    the states are all numbers of of - kept + j bits of which j are set, for each j below `kept`.
    """
    known = np.sort(np.concatenate([_numbers(of - kept + many, many) for many in range(kept)]))
    return Chain(*(_numbered(known, _after(known, outcome, kept, of)) for outcome in (0, 1)))


def _carrying(chain: Chain, chance: float) -> Callable[[Floats], Floats]:
    """What the chances of all states become by one outcome."""
    if chain.missed.size > FEW_STATES:
        carrying: Callable[[Floats], Floats] = _moves(chain, chance).__matmul__
        return carrying
    going_on = np.flatnonzero(chain.kept != _SETTLED)
    onward, many = chain.kept[going_on], chain.missed.size

    def carried(mass: Floats) -> Floats:
        together = np.zeros(many)
        together += np.bincount(chain.missed, mass * (1 - chance), many)
        together += np.bincount(onward, mass[going_on] * chance, many)
        return together

    return carried


def _moves(chain: Chain, chance: float) -> csr_array:
    """(states, states) the chance of each state, a row, after an outcome in another one, a column."""
    from scipy.sparse import csr_array  # noqa: PLC0415  it takes a while to load, and few rules need it

    going_on = np.flatnonzero(chain.kept != _SETTLED).astype(np.int32)
    every = np.arange(chain.missed.size, dtype=np.int32)
    parts = np.repeat([1 - chance, chance], [every.size, going_on.size])
    reached = np.concatenate([chain.missed, chain.kept[going_on]])
    return csr_array((parts, (reached, np.concatenate([every, going_on]))), (every.size, every.size))


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
