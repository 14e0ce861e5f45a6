"""Whether tables that were told of one step let a number of spells from 1 to 4 be worked out of them.

Spells that have ended stay ended, so what is told of one Sunday bounds what was so on another: the spells
that had settled by a day are at least those of an earlier Sunday or day, and at most those of a later one.
Where both bounds meet, a number is known though it was never told. What is known is looked at in three ways:
alone, as the difference of two days, and as the difference of two Sundays.
"""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING, TypeAlias

from coach.coaching.rules.counts import ENDS
from coach.coaching.rules.telling import running

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

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


def is_few(households: int) -> bool:
    """Whether so many, or a difference of so many, must not be told."""
    return 0 < abs(households) < FEWEST_TOLD


def tells_few(tables: Sequence[Told]) -> bool:
    """Whether any number from 1 to 4 can be worked out of tables of one step, the oldest first."""
    return (
        any(_within(table) for table in tables)
        or any(rows_tell_few(ending_rows(tables, ending)) for ending in ENDS)
        or rows_tell_few(open_rows(tables))
        or any(_between(earlier, later) for earlier, later in combinations(tables, 2))
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
    for row, seen in zip(value, known, strict=True):
        if _any_few(np.diff(row[seen], prepend=0)):
            return True
    for earlier, later in combinations(range(len(rows)), 2):
        both = known[earlier] & known[later]
        if _any_few(np.diff((value[later] - value[earlier])[both], prepend=0)):
            return True
        if _any_few((value[later] - value[earlier])[both]):
            return True
    return False


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
    sizes = abs(numbers)
    return bool(((sizes > 0) & (sizes < FEWEST_TOLD)).any())


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


def _between(earlier: Told, later: Told) -> bool:
    """Whether two tables tell few by how many they are about, or by what one hides and the other does not."""
    if is_few(later.entered - earlier.entered):
        return True
    if earlier.as_of == later.as_of:
        either = earlier.hidden | later.hidden
        return is_few(_of(later, either) - _of(earlier, either))
    return any(is_few(_since(earlier, later, some)) for some in _unions(earlier))


def _unions(table: Told) -> Iterator[frozenset[Ending]]:
    """The parts of a table in which spells have ended, and all that can be put together of them."""
    parts = [frozenset({ending}) for ending in table.blocks]
    ended = [part for part in (*parts, table.hidden) if part and "open" not in part]
    for size in range(1, len(ended) + 1):
        for some in combinations(ended, size):
            yield frozenset().union(*some)


def _since(earlier: Told, later: Told, endings: frozenset[Ending]) -> int:
    """How many stand, in the parts of the later table that hold these ends, beside those that did before."""
    around = endings | later.hidden if endings & later.hidden else endings
    return _of(later, around) - _of(earlier, endings)


def _of(table: Told, endings: frozenset[Ending]) -> int:
    """Spells in some parts of a table, the part of all that is hidden being one."""
    rest = table.rest if endings & table.hidden else 0
    return rest + sum(table.total(ending) for ending in endings & table.blocks.keys())
