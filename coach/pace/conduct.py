"""How the days of households go: which stay quiet, and which of the lines on their lists are kept."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

import numpy as np

from coach.pace.closing import Marks

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from coach.pace.block import Block
    from coach.pace.opening import Opened


class Chances(Protocol):
    """The chances of H households on one day after the other."""

    def kept(self, day: int) -> NDArray[np.float32] | np.float32:
        """The chance that a line is kept, for (S, H) or what can be spread over that."""
        ...

    def quiet_begins(self) -> NDArray[np.float32] | np.float32:
        """(H,) the chance that a household which marked the day before falls quiet today."""
        ...

    def quiet_ends(self) -> NDArray[np.float32] | np.float32:
        """(H,) the chance that one which is quiet marks again today."""
        ...


@dataclass(frozen=True, slots=True)
class Same:
    """Chances that stay the same from day to day, for every line alike.

    Attributes:
        adherence: (H,) the chance that a line is kept.
        begins: The chance, each day, that a quiet time begins.
        ends: The chance, each day of it, that it ends.
    """

    adherence: NDArray[np.float32]
    begins: float = 0.0
    ends: float = 0.0

    def kept(self, day: int) -> NDArray[np.float32]:  # noqa: ARG002  every day is alike
        """The same for every line."""
        return self.adherence

    def quiet_begins(self) -> np.float32:
        """The same for every household."""
        return np.float32(self.begins)

    def quiet_ends(self) -> np.float32:
        """The same for every household."""
        return np.float32(self.ends)


def quiet_today(
    was_quiet: NDArray[np.bool_], chances: Chances, drawn: NDArray[np.float32]
) -> NDArray[np.bool_]:
    """(H,) which households are quiet today.

    Args:
        was_quiet: (H,) which were the day before.
        chances: Theirs.
        drawn: (H,) uniform numbers from 0 to 1.
    """
    return (was_quiet & (drawn >= chances.quiet_ends())) | (~was_quiet & (drawn < chances.quiet_begins()))


def marks_of(
    block: Block,
    opened: Opened,
    quiet: NDArray[np.bool_],
    kept: NDArray[np.float32] | np.float32,
    drawn: NDArray[np.float32],
) -> Marks:
    """What is marked on a day: of a household that is not quiet every open line, kept or missed.

    Args:
        block: As it stands after the opening.
        opened: That opening.
        quiet: (H,).
        kept: The chance that a line is kept, for (S, H) or what can be spread over that.
        drawn: (S, H) uniform numbers from 0 to 1.
    """
    loud = opened.live & ~quiet
    marked = block.open & loud
    done = drawn < kept
    done &= marked
    return Marks(kept=done, missed=marked & ~done, any=loud & opened.listed)
