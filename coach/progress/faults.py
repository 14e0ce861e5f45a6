"""The faults of a long file: the first ones named, all of them counted, in memory that does not grow."""

from __future__ import annotations

from dataclasses import dataclass, field

from coach.errors import MOST_NAMED, Fault, Faults

LONGEST_REASON = 400
"""Characters; a reason may repeat what stood in the file, which can be long."""


@dataclass(slots=True)
class FirstFaults:
    """Takes faults in any order and keeps those that stand first in the file.

    Attributes:
        file: What the file is called in the faults.
        count: How many there have been.
    """

    file: str
    count: int = 0
    _kept: list[Fault] = field(default_factory=list)
    _last: int | None = None

    def add(self, line: int | None, reason: str) -> None:
        """Count a fault, and name it if it stands before the last one that would be named."""
        self.count += 1
        if self._last is not None and (line or 0) >= self._last:
            return
        self._kept.append(Fault(self.file, line, _shortened(reason)))
        if len(self._kept) >= 2 * MOST_NAMED:
            self._cut()

    def found(self, others: Faults | None = None) -> Faults:
        """The first ones, with those found elsewhere in the same file, and the number of the rest."""
        named = sorted((*(others or ()), *self._kept), key=_line)[:MOST_NAMED]
        count = self.count + (others.number if others is not None else 0)
        return Faults(named, count - len(named))

    def _cut(self) -> None:
        self._kept.sort(key=_line)
        del self._kept[MOST_NAMED:]
        self._last = _line(self._kept[-1])


def _line(fault: Fault) -> int:
    return fault.line or 0


def _shortened(reason: str) -> str:
    return reason if len(reason) <= LONGEST_REASON else f"{reason[: LONGEST_REASON - 1]}…"
