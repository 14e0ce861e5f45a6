"""Balance: weekdays for the movable jobs under which the week's load is as even as it can be (home rules)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from coach.week.rules.burden import burden, loads_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from coach.week.rules.burden import Burden, WeekLoad
    from coach.week.rules.stages import Stages

SECONDS = 2.0
"""What a proposal may take."""

# The aims in their order, each with its share of the time: an even week is what is hard to find.
_SHARES = {"overload": 0.2, "heaviest": 0.5, "moved": 0.2}
_SHARE_OF_TIES = 0.1
_TIED_AT_ONCE = 5


@dataclass(frozen=True, slots=True)
class Proposal:
    """What balance proposes; nothing changes until the household accepts it.

    Attributes:
        days: A day for each job, in their order.
        loads: Minutes of each day, under the proposal.
        proven: Whether it is known to be the best. With many jobs of odd minutes the search may be cut short;
            what it found until then is proposed, and is never worse than what was.
    """

    week: WeekLoad
    days: tuple[int, ...]
    before: Burden
    after: Burden
    loads: tuple[int, ...]
    proven: bool

    @property
    def moves(self) -> Mapping[str, int]:
        """The jobs that would move, each with its new day."""
        pairs = zip(self.week.jobs, self.days, strict=True)
        return {job.id: day for job, day in pairs if day != job.day}


def propose(week: WeekLoad, seconds: float = SECONDS) -> Proposal:
    """The days under which total overload, then the heaviest day, then the jobs moved are the least.

    Of proposals that are equal in all three, the first job stays if it can, else goes to the earliest day
    possible; then the second, and so on. So the same week gets the same proposal, as long as there is time
    for the whole search.

    Args:
        week: The week.
        seconds: How long the search may take. Once they are over, what was found until then is proposed.
    """
    days, proven = _best_days(week, seconds) if week.jobs else ((), True)
    before, after = burden(week, week.days), burden(week, days)
    return Proposal(week, days, before, after, loads_of(week, days), proven)


def _best_days(week: WeekLoad, seconds: float) -> tuple[tuple[int, ...], bool]:
    """Solve stage by stage, each one holding what the stages before it have reached."""
    from coach.week.rules.stages import Stages  # noqa: PLC0415  SciPy takes half a second to load

    stages, proven = Stages(week), True
    for aim, share in _SHARES.items():
        proven = stages.least(stages.aims[aim], share * seconds) and proven
    if proven:
        _settle_ties(stages, len(week.jobs), _SHARE_OF_TIES * seconds)
    return stages.days, proven


def _settle_ties(stages: Stages, jobs: int, seconds: float) -> None:
    firsts = range(0, jobs, _TIED_AT_ONCE)
    for first in firsts:
        stages.least(stages.ties(range(first, min(first + _TIED_AT_ONCE, jobs))), seconds / len(firsts))
