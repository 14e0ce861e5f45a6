"""Households of the forecast's model on the shipped course: what their days told, and when they were done."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

import numpy as np

from coach.coaching.library import find_course
from coach.pace.believed import believed_of
from coach.pace.block import fresh
from coach.pace.evidence import KINDS, DayTold, Evidence, Quiet, kind_of
from coach.pace.following import Follower
from coach.pace.futures import NEVER
from coach.pace.posterior import WEEKDAYS, Drawn
from coach.pace.priors import PRIORS
from coach.pace.rulebook import rulebook_at
from coach.progress.log import Row, What

if TYPE_CHECKING:
    from collections.abc import Collection

    from numpy.typing import NDArray

    from coach.pace.believed import Believed
    from coach.pace.block import Block
    from coach.pace.following import Day

STARTED = date(2027, 1, 4)
COURSE = find_course("three-weeks")
RULES = rulebook_at(COURSE, "standard")
STEP_KINDS = [kind_of(step) for step in COURSE.steps]


class Lives:
    """So many households, followed for so many days.

    Args:
        generator: Where chance comes from.
        households: How many.
        days: For how many days.
        kept: The days before whose opening the block is kept, and up to the last of which days are told.
        logs: Whether to write logs.

    Attributes:
        settled_on: (H,) the place of the day on which the last waiting step settled, or `NEVER`.
        before: For each of the days kept, where the households stood.
        rows: Their logs, if they are written.
    """

    def __init__(
        self,
        generator: np.random.Generator,
        households: int,
        days: int,
        kept: Collection[int],
        *,
        logs: bool = False,
    ) -> None:
        self.days = [STARTED + timedelta(days=day) for day in range(days + 1)]
        self.follower = Follower(RULES, self.days, 0)
        self.settled_on = np.full(households, NEVER)
        self.before: dict[int, Block] = {}
        self.rows = [[Row(STARTED, What.START, RULES.ids[0])] for _ in range(households if logs else 0)]
        self._told: list[
            tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.bool_], NDArray[np.bool_]]
        ] = []
        self._live(generator, households, kept)

    def _live(self, generator: np.random.Generator, households: int, kept: Collection[int]) -> None:
        believed, block = (
            self.believed(_from_the_priors(generator, households)),
            fresh(RULES, households, len(self.days)),
        )
        quiet = np.zeros(households, bool)
        for day in range(self.follower.reach):
            if day in kept:
                self.before[day] = block.taken(np.arange(households))
            was_quiet = quiet
            drawn = generator.random((RULES.size + 1, households), np.float32)
            now = self.follower.day(block, day, believed, drawn, quiet)
            believed.pass_night(generator.bit_generator)
            quiet = now.quiet
            if day < max(kept):
                self._tell(now, was_quiet)
            done = (block.waiting_left(RULES) == 0) & (self.settled_on == NEVER)
            self.settled_on[done] = day

    def believed(self, drawn: Drawn) -> Believed:
        """The chances of households of the model on these days."""
        return believed_of(drawn, COURSE.steps, self.days)

    def _tell(self, now: Day, was_quiet: NDArray[np.bool_]) -> None:
        closed = now.closed.kept | now.closed.missed
        kinds = np.array(STEP_KINDS)
        kept, outcomes = (
            np.array([grid[kinds == kind].sum(axis=0) for kind in range(KINDS)])
            for grid in (now.closed.kept, closed)
        )
        self._told.append((kept, outcomes, now.quiet, was_quiet))
        for number, rows in enumerate(self.rows):
            on = self.days[now.day]
            if now.opened.returned[number]:
                rows.append(Row(on, What.RESUME))
            for what, grid in ((What.KEPT, now.marks.kept), (What.MISSED, now.marks.missed)):
                rows += [Row(on, what, RULES.ids[step]) for step in np.flatnonzero(grid[:, number])]

    def evidence(self, number: int, days: int) -> Evidence:
        """What the first days of one household told."""
        told, spells = [], []
        for on, (kept, outcomes, quiet, was_quiet) in zip(self.days, self._told[:days], strict=False):
            spells.append(Quiet(on, bool(quiet[number]), bool(was_quiet[number])))
            if not quiet[number] and outcomes[:, number].any():
                counts = (tuple(grid[:, number].tolist()) for grid in (kept, outcomes))
                told.append(DayTold(on, *counts))
        return Evidence(STARTED, self.days[days - 1], tuple(told), tuple(spells), spells[-1].quiet)


def _from_the_priors(generator: np.random.Generator, many: int) -> Drawn:
    return Drawn(
        level=generator.normal(PRIORS.level, PRIORS.level_spread, many),
        kinds=generator.normal(0.0, PRIORS.kind_spread, (KINDS, many)),
        weekdays=generator.normal(0.0, PRIORS.weekday_spread, (WEEKDAYS, many)),
        begins=generator.beta(*PRIORS.quiet_begins, many),
        ends=generator.beta(*PRIORS.quiet_ends, many),
    )
