"""Weekday jobs: their lines, as shipped or as the household changed them, and the timer (home rules)."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import timedelta
from functools import lru_cache
from typing import TYPE_CHECKING

from coach.areas.rules.rotation import MOST_MINUTES
from coach.course.keys import is_blank
from coach.course.recurrence import is_weekly_at_most
from coach.errors import Malformed

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from coach.course.model import Step

MOST_LINES = 40
LONGEST_TITLE = 200


@lru_cache(maxsize=1024)
def is_job_rule(rule: str) -> bool:
    """Whether a step with this rule is a weekday job: one that falls weekly or less often."""
    return is_weekly_at_most(rule)


@dataclass(frozen=True, slots=True)
class JobLine:
    """One line of a job; its id stays when lines are moved or renamed, and no other line ever gets it."""

    id: str
    title: str
    minutes: int


@dataclass(frozen=True, slots=True)
class JobPlan:
    """How a household does a job.

    Attributes:
        lines: In order.
        stop_after: Minutes after which the job ends, done or not; None for no end.
        next_id: The number the next new line gets.
    """

    lines: tuple[JobLine, ...]
    stop_after: int | None
    next_id: int

    @property
    def minutes(self) -> int:
        """Minutes of all lines together."""
        return sum(line.minutes for line in self.lines)

    def line(self, line_id: str) -> JobLine | None:
        """The line of that id, if there is one."""
        return next((line for line in self.lines if line.id == line_id), None)


def plan_of(step: Step) -> JobPlan:
    """A job as its step is shipped: lines numbered from 1, and its end; without one, its minutes are that."""
    lines = tuple(JobLine(str(place), line.title, line.minutes) for place, line in enumerate(step.lines, 1))
    return JobPlan(lines, step.stop_after or step.minutes or None, len(lines) + 1)


def changed(plan: JobPlan, lines: Sequence[tuple[str | None, str, int]], stop_after: int | None) -> JobPlan:
    """The job with these lines in this order, and this end.

    Args:
        plan: The job as it was.
        lines: For each line its id (None for a new one), its title and its minutes.
        stop_after: Minutes after which the job ends; None for no end.

    Raises:
        Malformed: A line or a number cannot be used; the text says which and why.
    """
    _check_ids(plan, [line_id for line_id, _, _ in lines if line_id is not None])
    if len(lines) > MOST_LINES:
        raise Malformed(f"A job has at most {MOST_LINES} lines, not {len(lines)}. Make two jobs of it.")
    if stop_after is not None and not 1 <= stop_after <= MOST_MINUTES:
        raise Malformed(f"A job can end after 1 to {MOST_MINUTES} minutes, not after {stop_after}.")
    following, kept = plan.next_id, []
    for line_id, title, minutes in lines:
        kept.append(_line(line_id or str(following), title.strip(), minutes))
        following += line_id is None
    return JobPlan(tuple(kept), stop_after, following)


def _check_ids(plan: JobPlan, ids: Sequence[str]) -> None:
    for line_id in ids:
        if plan.line(line_id) is None:
            raise Malformed(f"There is no line “{line_id[:20]}” any more. Look at the lines as they are now.")
    if len(set(ids)) < len(ids):
        raise Malformed("A line is there twice. Each can stand in one place only.")


def _line(line_id: str, title: str, minutes: int) -> JobLine:
    if is_blank(title):
        raise Malformed("A line needs a few words that say what to do.")
    if len(title) > LONGEST_TITLE:
        raise Malformed(f"“{title[:40]}…” is too long for a line. {LONGEST_TITLE} characters are the most.")
    if not 0 <= minutes <= MOST_MINUTES:
        raise Malformed(f"“{title[:40]}” needs a number of minutes from 0 to {MOST_MINUTES}, not {minutes}.")
    return JobLine(line_id, title, minutes)


@dataclass(frozen=True, slots=True)
class Timer:
    """A job's timer: an instant at which it was started and minutes after which it ends.

    So it goes on while no page is open, and there is nothing to count.
    """

    started: datetime
    stop_after: int

    @property
    def ends(self) -> datetime:
        """The instant at which time is up."""
        return self.started + timedelta(minutes=self.stop_after)

    def left(self, now: datetime) -> timedelta:
        """The time left; none once it is up, and never more than the whole if a clock was set back."""
        return max(timedelta(0), min(self.ends - now, timedelta(minutes=self.stop_after)))

    def minutes_left(self, now: datetime) -> int:
        """Minutes left, a begun one counted as whole."""
        return math.ceil(self.left(now) / timedelta(minutes=1))
