"""What was told of one step's spells as of a Sunday: counts of five or more, or none, and nothing finer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, NamedTuple

from coach.coaching.rules.counts import ENDS, STANDING, Count

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from datetime import date

    from coach.ground.spells import Ending


class Block(NamedTuple):
    """So many spells that stand alike, on a day after that of the block before and up to this one."""

    day: int
    households: int


@dataclass(frozen=True, slots=True)
class Told:
    """What was told of one step.

    Attributes:
        as_of: The Sunday.
        blocks: For each way of standing that is told its spells, put together by days, the earliest first;
            no blocks: there are none.
        rest: Spells that stand in one of the ways that are not told.
    """

    as_of: date
    blocks: Mapping[Ending, tuple[Block, ...]]
    rest: int

    @property
    def entered(self) -> int:
        """How many spells there are."""
        return self.rest + sum(self.total(ending) for ending in self.blocks)

    @property
    def hidden(self) -> frozenset[Ending]:
        """The ways of standing that are not told."""
        return frozenset(STANDING).difference(self.blocks)

    def total(self, ending: Ending) -> int:
        """How many spells stand so, of a way that is told."""
        return sum(block.households for block in self.blocks[ending])

    @property
    def last(self) -> int:
        """The last day of any block; 0 where there is none."""
        return max((block.day for blocks in self.blocks.values() for block in blocks), default=0)

    def counts(self, last: int) -> list[Count]:
        """The spells as an estimate takes them, from what is told alone.

        Ends are put on the last day of their block. Open ones of a block are put in the middle of its days,
        and those that stand in a way that is not told are taken to be still at it to the end.

        Args:
            last: The end: the last day of anything that the estimate is made of.
        """
        found = [
            Count(block.day, ending, block.households)
            for ending in ENDS
            for block in self.blocks.get(ending, ())
        ]
        before = 0
        for block in self.blocks.get("open", ()):
            found.append(Count((before + block.day + 1) // 2, "open", block.households))
            before = block.day
        return [*found, Count(max(last, 1), "open", self.rest)] if self.rest else found

    def is_filled_by(self, counts: Iterable[Count]) -> bool:
        """Whether the spells of those who are counted now still come to at least what was told."""
        now = tuple(counts)
        if sum(count.households for count in now) < self.entered:
            return False
        return all(
            _up_to(now, ending, day) >= told
            for ending in ENDS
            for day, told in running(self.blocks.get(ending, ()))
        )

    def to_json(self) -> dict[str, Any]:
        """As it is kept."""
        return {
            "blocks": {key: [list(block) for block in row] for key, row in self.blocks.items()},
            "rest": self.rest,
        }


def told_of(as_of: date, kept: Mapping[str, Any]) -> Told:
    """What was told, as it was kept."""
    blocks = {key: tuple(Block(*block) for block in row) for key, row in kept["blocks"].items()}
    return Told(as_of, blocks, kept["rest"])


def running(blocks: Iterable[Block]) -> list[tuple[int, int]]:
    """The last day of each block with the spells up to it."""
    found, households = [], 0
    for block in blocks:
        households += block.households
        found.append((block.day, households))
    return found


def _up_to(counts: Iterable[Count], ending: Ending, day: int) -> int:
    return sum(count.households for count in counts if count.ending == ending and count.days <= day)
