"""How many outcomes it takes until a step settles: exact, by a Markov chain over its latest outcomes.

A step settles when at least k of its latest n outcomes, or of fewer, if there are fewer, are kept
(rules §5.9). Each is kept with the same chance, independently. The chain's states are the latest outcomes as
far as they can still matter (Fu 2001, doi 10.1239/jap/1011994181, embeds them all).

A kept outcome of age a, the oldest of j, no longer matters once a > n - k + j: as it falls out of view, too
few can have been kept. So the states with j kept outcomes are all strings of n - k + j outcomes of which j
are kept, for each j below k; C(n, k - 1) in all. Strings are in order with the newest outcome first and a
missed one before a kept one, so that an outcome moves whole stretches of them.
"""

from __future__ import annotations

from functools import cache, lru_cache
from itertools import islice
from math import comb
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from coach.errors import Malformed
from coach.pace.distribution import Distribution

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Places = NDArray[np.intp]

SIMULATE = "Simulate it instead: add --households 100000."
MOST_OUTCOMES = 30
MOST_STATES = comb(MOST_OUTCOMES, MOST_OUTCOMES // 2)
"""Of the rules of so many outcomes at most."""
STATE_BYTES = 24
"""The memory that each state takes while they are followed."""
MANY_STATES = 1_000_000
"""So many are followed for longer than somebody waits for an answer, and not kept for the next question."""
_NOTHING_LEFT = 1e-16
_STEADY = 1e-13
_MOST_DAYS = 200_000
_AS_GOOD_AS_NEVER = 1e-280
"""A part that settles with each outcome so small that numbers soon cannot hold it."""
_NEVER = Distribution(np.zeros(1), rest=1.0, hazard=0.0)


class Oldest(NamedTuple):
    """The strings of one length and one number of kept outcomes, told apart by their oldest outcome.

    Attributes:
        missed: The places of those whose oldest outcome is missed, in order.
        kept: The places of the others.
    """

    missed: Places
    kept: Places


def states(kept: int, of: int) -> int:
    """How many states the chain of a rule has."""
    return comb(of, kept - 1)


def memory_for(many: int) -> str:
    """The memory that so many states take, in words."""
    return f"{many * STATE_BYTES / 2**30:.1f} GiB of memory"


def check_kept(kept: int, of: int) -> None:
    """Refuse a rule that is none.

    Raises:
        Malformed: With what its numbers are to be.
    """
    if not 1 <= kept <= of:
        raise Malformed(
            f"{kept} of {of} cannot be kept: the first number is at least 1, and at most the second."
        )


def check_rule(kept: int, of: int, most_states: int = MOST_STATES) -> None:
    """Refuse a rule that is none, or whose chain is too large.

    Raises:
        Malformed: With what to ask for instead.
    """
    check_kept(kept, of)
    if of > MOST_OUTCOMES:
        raise Malformed(f"{kept} of {of} looks at more than {MOST_OUTCOMES} outcomes. {SIMULATE}")
    many = states(kept, of)
    if many > most_states:
        raise Malformed(
            f"{kept} of {of} has {many:,} states, which need {memory_for(many)}, more than there is. "
            f"{SIMULATE}"
        )


def settling(kept: int, of: int, chance: float) -> Distribution:
    """How many outcomes it takes until `kept` of the latest `of` are kept.

    Args:
        kept: From 1 to `of`.
        of: At most 30.
        chance: Of each outcome to be kept, from 0 to 1. Where it is so small that it cannot be told from
            none, the step never settles.

    Raises:
        Malformed: The rule is none, or looks at more outcomes.
    """
    check_rule(kept, of)
    if chance <= 0:
        return _NEVER
    chances, hazard, alike = [0.0], 0.0, 0
    followed = _followed(kept, of, chance)
    while True:
        alive, ended = next(followed)
        if alive < _NOTHING_LEFT:
            return Distribution(np.array(chances))
        before, hazard = hazard, ended / alive
        if len(chances) > of and hazard < _AS_GOOD_AS_NEVER:
            return _NEVER
        chances.append(ended)
        alike = alike + 1 if hazard > 0 and abs(hazard - before) <= _STEADY * hazard else 0
        if alike == of or len(chances) == _MOST_DAYS:
            return Distribution(np.array(chances), rest=alive - ended, hazard=hazard)


def settled_within(kept: int, of: int, chance: float, outcomes: int) -> float:
    """The chance that it takes at most so many outcomes; arguments and errors are those of `settling`."""
    check_rule(kept, of)
    ended = [ended for _, ended in islice(_followed(kept, of, chance), outcomes)]
    return Distribution(np.array([0.0, *ended])).within(outcomes)


def _followed(kept: int, of: int, chance: float) -> Iterator[tuple[float, float]]:
    """For each outcome in turn the chance that nothing has settled before it, and that it does with it."""
    oldest = oldest_of(kept, of) if states(kept, of) <= MANY_STATES else _oldest_of(kept, of)
    groups: list[Floats] = [np.zeros(comb(of - kept + many, many)) for many in range(kept)]
    groups[0][0] = 1.0
    while True:
        yield float(sum(group.sum() for group in groups)), chance * float(groups[-1].sum())
        _carry_on(groups, oldest, chance)


def _carry_on(groups: list[Floats], oldest: tuple[Oldest, ...], chance: float) -> None:
    """Carry the chances of all states on by one outcome.

    A kept one stands before a string of one kept outcome fewer. A missed one stands before the string without
    its oldest outcome; where that one was kept, the next is to be left out too, as in a string of one kept
    outcome fewer.

    Args:
        groups: For each number of kept outcomes the chances of its strings; they are changed.
        oldest: Their strings.
        chance: Of a kept outcome.
    """
    shorter: Floats | None = None
    for many in range(len(groups) - 1, -1, -1):
        group, (missed, kept) = groups[many], oldest[many]
        if shorter is not None:
            group += shorter
        shorter = _taken(group, kept)
        np.multiply(_taken(group, missed), 1 - chance, out=group[: missed.size])
        if many:
            np.multiply(groups[many - 1], chance, out=group[missed.size :])


def _taken(group: Floats, places: Places) -> Floats:
    # Given room, and told that no place is beyond the end, NumPy takes them three times as fast.
    return group.take(places, out=np.empty(places.size), mode="clip")


def _oldest_of(kept: int, of: int) -> tuple[Oldest, ...]:
    """The strings of a rule's states by their oldest outcome, for each number of kept ones."""

    @cache
    def last_kept(length: int, many: int) -> NDArray[np.bool_]:
        """Of the strings of a length with so many kept, in order, whether the oldest one is."""
        if many in {0, length}:
            return np.array([many > 0])
        return np.concatenate([last_kept(length - 1, many), last_kept(length - 1, many - 1)])

    of_groups = (last_kept(of - kept + many, many) for many in range(kept))
    return tuple(Oldest(np.flatnonzero(~last), np.flatnonzero(last)) for last in of_groups)


oldest_of = lru_cache(maxsize=4)(_oldest_of)
