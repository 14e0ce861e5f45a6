"""Whether tables that were told of one step let a number of spells from 1 to 4 be worked out of them.

Spells that have ended stay ended, so what is told of one Sunday bounds what was so on another: the spells
that had settled by a day are at least those of an earlier Sunday or day, and at most those of a later one.
Where both bounds meet, a number is known though it was never told. What is known is looked at in three ways:
alone, as the difference of two days, and as the difference of two Sundays.
"""

from __future__ import annotations

from functools import cached_property
from itertools import combinations
from typing import TYPE_CHECKING, TypeAlias

from coach.coaching.rules.counts import ENDS
from coach.coaching.rules.telling import running

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    import numpy as np
    from numpy.typing import NDArray

    from coach.coaching.rules.telling import Told
    from coach.ground.spells import Ending

FEWEST_TOLD = 5
"""Fewer households are never told of by their number, nor is a difference of fewer: a choice."""

Row: TypeAlias = "Mapping[int, int]"
"""Numbers by day, which grow with it and from row to row."""

ALL_DAYS = 1 << 40
"""Stands for every day there can be."""

CELLS = 1 << 16
"""So many numbers are held against each other at once, which stay in the processor's cache."""


def is_few(households: int) -> bool:
    """Whether so many, or a difference of so many, must not be told."""
    return 0 < abs(households) < FEWEST_TOLD


def tells_few(tables: Sequence[Told]) -> bool:
    """Whether any number from 1 to 4 can be worked out of tables of one step, the oldest first."""
    return (
        any(_within(table) for table in tables)
        or any(rows_tell_few(ending_rows(tables, ending)) for ending in ENDS)
        or rows_tell_few(open_rows(tables))
        or any(_between(earlier, later) for earlier, later in combinations(map(_Sums, tables), 2))
    )


def ending_rows(tables: Sequence[Told], ending: Ending) -> list[Row]:
    """How many had ended so by each day that is told."""
    return [
        {**dict(running(table.blocks[ending])), ALL_DAYS: table.total(ending)}
        for table in tables
        if ending in table.blocks
    ]


def open_rows(tables: Sequence[Told]) -> list[Row]:
    """How many that had begun before a date are still open, the latest table first; nobody paused."""
    return [_open_row(table) for table in reversed(tables) if "open" in table.blocks]


def rows_tell_few(rows: Sequence[Row]) -> bool:
    """Whether rows of growing numbers tell few.

    A row that breaks the order, since somebody is not counted any more, is known where it was told alone.
    """
    import numpy as np  # noqa: PLC0415  no page of a household waits for it

    if not rows:
        return False
    value, known = _known(rows)
    if _any_few(_steps(value, known)):
        return True
    # After half a year there are hundreds of pairs.
    earlier, later = np.triu_indices(len(rows), 1)
    at_once = max(1, CELLS // value.shape[1])
    return any(
        _tell_apart(value, known, earlier[first : first + at_once], later[first : first + at_once])
        for first in range(0, len(earlier), at_once)
    )


def _tell_apart(
    value: NDArray[np.int64], known: NDArray[np.bool_], earlier: NDArray[np.int64], later: NDArray[np.int64]
) -> bool:
    """Whether what a row has more than an earlier one is few by any day, or between known days."""
    more, both = value[later] - value[earlier], known[later] & known[earlier]
    return _any_few(more[both]) or _any_few(_steps(more, both))


def _steps(rows: NDArray[np.int64], known: NDArray[np.bool_]) -> NDArray[np.int64]:
    """By how much each known number of a row differs from the known one before it, or from none."""
    numbers = rows[known]
    steps = numbers.copy()
    (in_row, _) = known.nonzero()
    steps[1:] -= numbers[:-1] * (in_row[1:] == in_row[:-1])
    return steps


def _known(rows: Sequence[Row]) -> tuple[NDArray[np.int64], NDArray[np.bool_]]:
    """What is known of each row and day: the value, and whether it is."""
    import numpy as np  # noqa: PLC0415  as above

    days = sorted({day for row in rows for day in row})
    place = {day: index for index, day in enumerate(days)}
    told = np.full((len(rows), len(days)), -1, dtype=np.int64)
    for index, row in enumerate(rows):
        for day, number in row.items():
            told[index, place[day]] = number
    is_told = told >= 0
    least = np.maximum.accumulate(np.maximum.accumulate(np.where(is_told, told, 0), axis=0), axis=1)
    most = np.where(is_told, told, ALL_DAYS)[::-1, ::-1]
    most = np.minimum.accumulate(np.minimum.accumulate(most, axis=0), axis=1)[::-1, ::-1]
    return np.where(is_told, told, least), is_told | (least == most)


def _any_few(numbers: NDArray[np.int64]) -> bool:
    return bool(((numbers != 0) & (abs(numbers) < FEWEST_TOLD)).any())


def _open_row(table: Told) -> Row:
    today = table.as_of.toordinal()
    left = table.total("open")
    row = {today: left}
    for block in table.blocks["open"]:
        left -= block.households
        row[today - block.day] = left
    return row


def _within(table: Told) -> bool:
    return is_few(table.rest) or is_few(table.entered)


class _Sums:
    """What a table tells of several ways of standing together, each added up once."""

    def __init__(self, table: Told) -> None:
        self.as_of = table.as_of
        self.hidden = table.hidden
        self.totals = {ending: table.total(ending) for ending in table.blocks}
        self.rest = table.rest
        self.entered = table.entered
        self._of: dict[frozenset[Ending], int] = {}

    def of(self, endings: frozenset[Ending]) -> int:
        """Spells in some parts of the table, the part of all that is hidden being one."""
        found = self._of.get(endings)
        if found is None:
            rest = self.rest if endings & self.hidden else 0
            found = self._of[endings] = rest + sum(self.totals[one] for one in endings & self.totals.keys())
        return found

    @cached_property
    def unions(self) -> tuple[frozenset[Ending], ...]:
        """The parts in which spells have ended, and all that can be put together of them."""
        parts = [frozenset({ending}) for ending in self.totals]
        ended = [part for part in (*parts, self.hidden) if part and "open" not in part]
        return tuple(
            frozenset().union(*some)
            for size in range(1, len(ended) + 1)
            for some in combinations(ended, size)
        )


def _between(earlier: _Sums, later: _Sums) -> bool:
    """Whether two tables tell few by how many they are about, or by what one hides and the other does not."""
    if is_few(later.entered - earlier.entered):
        return True
    if earlier.as_of == later.as_of:
        either = earlier.hidden | later.hidden
        return is_few(later.of(either) - earlier.of(either))
    return any(is_few(_since(earlier, later, some)) for some in earlier.unions)


def _since(earlier: _Sums, later: _Sums, endings: frozenset[Ending]) -> int:
    """How many stand, in the parts of the later table that hold these ends, beside those that did before."""
    around = endings | later.hidden if endings & later.hidden else endings
    return later.of(around) - earlier.of(endings)
