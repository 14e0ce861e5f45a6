"""The dates a calendar covers, and what of a household is asked for to fill them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from functools import cached_property
from typing import TYPE_CHECKING

from coach.areas.passes import AREA_DAYS
from coach.areas.plans import KIND as AREAS
from coach.calendar.rules.entries import DAYS_AHEAD, DAYS_BACK
from coach.desk.book import needed_between
from coach.ground.plan_rows import Asked, dated_keys
from coach.kitchen.dinners import KIND as DINNER
from coach.progress.days import ONE_DAY, instant_of
from coach.week.job_facts import JOB, needed

if TYPE_CHECKING:
    from collections.abc import Mapping

    from coach.ground.situation import Situation

MICROSECONDS = 1_000_000


def written_last(version: int) -> datetime:
    """The instant of a household's last write: its versions are microseconds since 1970."""
    return datetime.fromtimestamp(version // MICROSECONDS, UTC)


@dataclass(frozen=True)
class Span:
    """A household looked at for a calendar.

    Attributes:
        where: The household, looked at today.
    """

    where: Situation

    @cached_property
    def first(self) -> date:
        """The first date: so many before today, and not before the start."""
        return max(self.where.today - timedelta(days=DAYS_BACK), self.where.standing.started)

    @cached_property
    def last(self) -> date:
        """The last date."""
        return self.where.today + timedelta(days=DAYS_AHEAD)

    @property
    def tomorrow(self) -> date:
        """The first date that is not lived yet."""
        return self.where.today + ONE_DAY

    @cached_property
    def away(self) -> frozenset[date]:
        """The dates on which nothing falls but dues: paused, lapsed, or such as never happen."""
        days = (self.first + timedelta(days=ahead) for ahead in range((self.last - self.first).days + 1))
        return frozenset(day for day in days if self.where.away(day))

    @cached_property
    def stamps(self) -> Stamps:
        """When what the calendar says was written."""
        return stamps_of(self.where, self.first, self.last)

    def fetch(self) -> None:
        """Read of the plan what all kinds need, in one statement."""
        dates = dated_keys(self.first, self.last)
        asked = [*needed(self.where), Asked(DINNER, *dates), *needed_between(self.first, self.last)]
        self.where.plan.fetch([*asked, Asked(AREA_DAYS)])


@dataclass(frozen=True, slots=True)
class Stamps:
    """When what a calendar says was last written, aware.

    Attributes:
        decided: By the present id of a step; under "" what is about none.
        course: When the course's files last changed, as a household's day; none: never since the start.
        plan: By kind and key of the plan.
        areas: Of all that says whose turn it is.
    """

    decided: Mapping[str, datetime]
    course: datetime | None
    plan: Mapping[tuple[str, str], datetime]
    areas: datetime | None

    def step(self, step: str, came: datetime) -> datetime:
        """Of a step that came at an instant: by what is written about it, or by a newer course."""
        found = (came, self.course, self.decided.get(step), self.plan.get((JOB, step)))
        return max(at for at in found if at is not None)


def stamps_of(where: Situation, first: date, last: date) -> Stamps:
    """Read them all, in two statements."""
    dates = dated_keys(first, last)
    asked = [Asked(JOB), Asked(DINNER, *dates), *needed_between(first, last), Asked(AREAS), Asked(AREA_DAYS)]
    found = where.reading.planned_at(asked)
    plan = {
        (one.what, key): at
        for one, instants in zip(asked, found, strict=True)
        for key, at in instants.items()
    }
    decided: dict[str, datetime] = {}
    for step, at in where.reading.decided_at().items():
        name = where.state.present(step) if step else ""
        decided[name] = max(at, decided.get(name, at))
    newest = where.versions[-1].since
    course = day_begins(where, newest) if newest > where.standing.started else None
    about_areas = [at for (what, _), at in plan.items() if what in {AREAS, AREA_DAYS}]
    areas = max(about_areas, default=None)
    return Stamps(decided, course, plan, areas)


def day_begins(where: Situation, day: date) -> datetime:
    """The instant at which a household's day begins, by its clock of now."""
    return instant_of(day, where.home.zone, where.home.day_starts)
