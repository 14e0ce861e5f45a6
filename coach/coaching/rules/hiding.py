"""What may be told of one step's spells beside everything that was told of them before.

A number is told if it is 0 or at least 5. Ways of standing with fewer are told as one, with another beside
them where they are still too few; days are put together until each holds enough. A table is told only if it
and all earlier ones let no number from 1 to 4 be worked out (`audit`); else the earlier one stands, as long
as those who are counted now fill it.
"""

from __future__ import annotations

from itertools import accumulate, pairwise
from typing import TYPE_CHECKING, NamedTuple, TypeVar

from coach.coaching.rules.audit import (
    FEWEST_TOLD,
    ending_rows,
    is_few,
    open_rows,
    rows_tell_few,
    tells_few,
)
from coach.coaching.rules.counts import STANDING, ended, entered
from coach.coaching.rules.telling import Block, Told

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence
    from datetime import date

    from coach.coaching.rules.audit import Row
    from coach.coaching.rules.counts import Count
    from coach.ground.spells import Ending

K = TypeVar("K")

FEWEST_EXPORTED = 10
"""Fewer households than this are in nothing that is saved as a file."""

MOST_BLOCKS = 30
"""The days of an end are told in at most so many parts."""

NONE_HIDDEN: frozenset[Ending] = frozenset()
OTHERWISE: frozenset[Ending] = frozenset({"set aside", "lapsed", "left"})
OR_OPEN: frozenset[Ending] = frozenset({*OTHERWISE, "open"})


class Telling(NamedTuple):
    """What is told of a step now.

    Attributes:
        table: The table; None: nothing may be told.
        is_new: Whether it was not told before, so that it has to be kept.
        anew: Whether something was told before that may not be told any more.
    """

    table: Told | None
    is_new: bool
    anew: bool


def telling(counts: Sequence[Count], as_of: date, earlier: Sequence[Told]) -> Telling:
    """What may be told of a step.

    Args:
        counts: Its spells as of the latest Sunday.
        as_of: That Sunday.
        earlier: Everything that was told of it before, the oldest first.
    """
    for hidden in _hidings(counts):
        table = _table(counts, as_of, hidden, earlier)
        if earlier and table is not None and _same(table, earlier[-1]):
            return Telling(earlier[-1], is_new=False, anew=False)
        if table is not None and not tells_few([*earlier, table]):
            return Telling(table, is_new=True, anew=False)
    if earlier and earlier[-1].is_filled_by(counts):
        return Telling(earlier[-1], is_new=False, anew=False)
    return Telling(None, is_new=False, anew=bool(earlier))


def _same(table: Told, before: Told) -> bool:
    return (table.as_of, table.blocks, table.rest) == (before.as_of, before.blocks, before.rest)


def _hidings(counts: Sequence[Count]) -> Iterator[frozenset[Ending]]:
    """Which ways of standing to tell as one, the fewest first."""
    if entered(counts) < FEWEST_TOLD:
        return
    found: list[frozenset[Ending]] = []
    totals = {ending: ended(counts, ending) for ending in STANDING}
    for least in (NONE_HIDDEN, OTHERWISE, OR_OPEN):
        hidden = enough_hidden(totals, least)
        if hidden not in found:
            found.append(hidden)
            yield hidden


def enough_hidden(totals: Mapping[K, int], hidden: frozenset[K]) -> frozenset[K]:
    """These and all that are too few, with the smallest others until they are enough together.

    All together must be enough; of two that are equally small the later one is hidden.
    """
    hidden |= {key for key, total in totals.items() if is_few(total)}
    while is_few(sum(totals[key] for key in hidden)):
        others = [key for key in reversed(tuple(totals)) if key not in hidden and totals[key]]
        hidden |= {min(others, key=totals.__getitem__)}
    return hidden


def _table(
    counts: Sequence[Count], as_of: date, hidden: frozenset[Ending], earlier: Sequence[Told]
) -> Told | None:
    rest = sum(ended(counts, ending) for ending in hidden)
    table = Told(as_of, {}, rest)
    for ending in STANDING:
        if ending in hidden:
            continue
        blocks = _blocks(counts, ending, as_of, earlier)
        if blocks is None:
            return None
        table = Told(as_of, {**table.blocks, ending: blocks}, rest)
    return table


def _blocks(
    counts: Sequence[Count], ending: Ending, as_of: date, earlier: Sequence[Told]
) -> tuple[Block, ...] | None:
    """The spells that stand so in as many parts as may be told; None if not even their number may."""
    by_day = sorted((count.days, count.households) for count in counts if count.ending == ending)
    is_open = ending == "open"
    before = open_rows(earlier) if is_open else ending_rows(earlier, ending)
    # Open spells grow older, so that their days are not the same again.
    cuts = _cuts(by_day, _Earlier([] if is_open else before))
    while True:
        blocks = _parts(by_day, cuts)
        table = [Told(as_of, {ending: blocks}, 0)]
        # The latest row of open spells comes first, and that of an end last.
        rows = [*open_rows(table), *before] if is_open else [*before, *ending_rows(table, ending)]
        if not rows_tell_few(rows):
            return blocks
        if len(cuts) <= 1:
            return None
        # The last day stays, since it holds all; the one before it is given up.
        cuts = [*cuts[:-2], cuts[-1]]


class _Earlier(NamedTuple):
    """What was told of an end by day, one for each table."""

    rows: Sequence[Row]

    def allow(self, day: int, households: int, since: list[int]) -> bool:
        """Whether a number by a day may be told beside all that was told by that day."""
        for index, row in enumerate(self.rows):
            more = households - row[day] if day in row else since[index]
            if is_few(more) or is_few(more - since[index]):
                return False
        return True

    def note(self, day: int, households: int, since: list[int]) -> None:
        """Take in that it is told."""
        for index, row in enumerate(self.rows):
            if day in row:
                since[index] = households - row[day]


def _cuts(by_day: Sequence[tuple[int, int]], earlier: _Earlier) -> list[int]:
    """The days up to which spells are put together: each part is enough, and so is what is left after it."""
    days = [day for day, _ in by_day]
    sums = list(accumulate(number for _, number in by_day))
    if not sums:
        return []
    enough = max(FEWEST_TOLD, -(-sums[-1] // MOST_BLOCKS))
    since = [0] * len(earlier.rows)
    found, told = [], 0
    for day, households in zip(days, sums, strict=True):
        left = sums[-1] - households
        if households - told >= enough and left >= FEWEST_TOLD and earlier.allow(day, households, since):
            earlier.note(day, households, since)
            found.append(day)
            told = households
    return [*found, days[-1]]


def _parts(by_day: Sequence[tuple[int, int]], cuts: Sequence[int]) -> tuple[Block, ...]:
    households, up_to = 0, {0: 0}
    for day, number in by_day:
        # Those of no day yet are in no part.
        households += number if day > 0 else 0
        up_to[day] = households
    return tuple(Block(cut, up_to[cut] - up_to[before]) for before, cut in pairwise([0, *cuts]))
