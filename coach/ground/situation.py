"""A household read once for a request: its row, its course, its log folded once, its plan as asked for.

Whoever answers a request opens one transaction (`looking`, or a writing one), makes its situation, and hands
that to everything the answer shows. Nothing of it outlives the transaction.
"""

from __future__ import annotations

import json
from contextlib import contextmanager, suppress
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any, TypeVar

from coach.errors import NotStarted, OutOfRange, StoreError
from coach.ground.findings import zone_findings
from coach.ground.past import Past, past_before
from coach.ground.plan_rows import PlanRow
from coach.ground.plan_values import PlanValues
from coach.ground.versions import noticed, present, versions_of
from coach.ground.weeks import WeekStart, week_of
from coach.ground.wording import full_date
from coach.progress.days import date_of, exists
from coach.progress.decisions import last_day
from coach.progress.log import What
from coach.progress.opening import Phase
from coach.progress.replay import each_closed, open_on
from coach.progress.standing import Standing, standing_of
from coach.progress.state import Pause

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable, Iterator, Mapping, Sequence
    from datetime import date

    from coach.ground.findings import Finding
    from coach.ground.ports import Context, CourseVersion, Household, Reading
    from coach.progress.journal import Journal
    from coach.progress.opening import Opening
    from coach.progress.state import State

EDITABLE_DAYS = 7
R = TypeVar("R")


@dataclass(frozen=True)
class Situation:
    """Where a household stands on a date, with all that was read to know it.

    Attributes:
        context: Store, clock, and the lessons as the household has them.
        reading: The open transaction.
        home: The household's own row.
        versions: The versions of its course, with the files' present one.
        today: Its current date, or the start date if the clock shows an earlier one.
        past: What the days were folded from.
        state: The state after the opening of the date, for looking ahead.
        opening: That opening.
        plan: What has been read of the plan.
    """

    context: Context
    reading: Reading
    home: Household
    versions: Sequence[CourseVersion]
    today: date
    past: Past
    state: State
    opening: Opening
    plan: PlanValues

    @cached_property
    def standing(self) -> Standing:
        """Where the household stands as the date opens."""
        return standing_of(self.state, self.opening)

    @property
    def book(self) -> Journal:
        """The part of the journal that was folded."""
        return self.past.book

    @property
    def course_is_new(self) -> bool:
        """Whether the course's files have changed and nobody has written that down yet."""
        is_stored = self.versions[-1] in self.reading.courses()
        return not is_stored and present(self.context, self.home) is not None

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What is wrong with what was read so far, and what stands in or was left out."""
        return (*self.past.findings, *zone_findings(self.home.zone), *self.plan.left_out.values())

    @cached_property
    def planned(self) -> Mapping[date, Pause | None]:
        """For each later date on which a pause begins or ends the pause that holds from then on, by date."""
        rows = [row for row in self.book.decisions if row.date > self.standing.on]
        return {
            row.date: Pause(row.date, last_day(row)) if row.what is What.PAUSE else None
            for row in rows
            if row.what in {What.PAUSE, What.RESUME}
        }

    def pause_on(self, day: date) -> Pause | None:
        """The pause that covers a day from the date on; the latest word before it counts (rules §5.2)."""
        pause = self.standing.pause
        for since, following in self.planned.items():
            if since <= day:
                pause = following
        return pause if pause is not None and pause.covers(day) else None

    @property
    def starts(self) -> WeekStart:
        """The weekday on which the household's weeks begin."""
        return WeekStart(self.home.week_starts)

    @property
    def week(self) -> date:
        """The first day of the current week."""
        return week_of(self.today, self.starts)

    def at(self, on: date) -> Situation:
        """The same household on another date, folded anew, from what was read if that reaches.

        What was worked out of the plan is not taken along, since it may depend on the date.

        Raises:
            OutOfRange: The date lies before the start or in the future.
            Unknown: The date never happened.
        """
        _refuse_beyond(on, self.state.started, self.today)
        past = self._reaching(on)
        state = past.resumed()
        opening = open_on(state, past.book, on)
        return replace(self, past=past, state=state, opening=opening, plan=self.plan.anew())

    def closed(self, first: date, last: date) -> Iterator[tuple[Opening, State]]:
        """Each household day between two dates before today, with the state after its close, folded once.

        The state goes on changing: what is needed of it is taken before the next day is asked for.
        """
        past = self._reaching(first)
        state = past.resumed()
        for opening in each_closed(state, past.book, first, last):
            yield opening, state

    def grown(self) -> Situation:
        """The same once something was written, with the household's version that this made."""
        home = self.reading.household()
        return self if home is None or home == self.home else replace(self, home=home)

    def _reaching(self, on: date) -> Past:
        """What a date is folded from, as it was read if that reaches."""
        if self.past.reaches(on):
            return self.past
        return past_before(self.context, self.home, self.reading, self.versions, on)

    def away(self, day: date) -> bool:
        """Whether the household was paused or lapsed on a day, or is going to be; or it never happens."""
        standing = self.standing
        if not exists(day, self.home.zone):
            return True
        if day == standing.on:
            return standing.phase in {Phase.PAUSED, Phase.LAPSED}
        if day < standing.on:
            return any(first <= day <= last for first, last in standing.away)
        return self.pause_on(day) is not None

    def meant(self, step: str, state: State | None = None) -> str | None:
        """The id by which a step is known on the date, or after another one's opening; None if none is.

        A day from before a version of the course that gave the step another id takes that one too.
        """
        known = self.state if state is None else state
        if known.known(step) is not None:
            return known.present(step)
        later = self.past.timeline[-1].course.named(step)
        former = later.formerly if later is not None else ()
        return next((name for name in former if name in known.records), None)

    def values(self, what: str, first: str = "", last: str | None = None) -> list[tuple[str, Any]]:
        """What holds now of one kind of the plan: keys with their values read from JSON."""
        return self.plan.values(what, first, last)

    def value(self, what: str, key: str = "") -> Any:  # noqa: ANN401  JSON, read by whoever knows the kind
        """What holds now for one key of the plan; None if nothing does."""
        return self.plan.value(what, key)

    def row(self, what: str, key: str, value: object) -> PlanRow:
        """A row of the plan written today; the value None takes it away."""
        text = "" if value is None else json.dumps(value, ensure_ascii=False, separators=(",", ":"))
        return PlanRow(self.today, what, key, text)


def today_of(context: Context, home: Household) -> date:
    """The household's current date by the clock, or the day that is tried instead."""
    return context.pretend or date_of(context.clock(), home.zone, home.day_starts)


def stamp(context: Context, household: str) -> Hashable:
    """What everything a household sees today depends on, by one read of its own row.

    Raises:
        NotStarted: It has not chosen its first step.
    """
    home = started_home(context.store.version(household))
    today = today_of(context, home)
    return home.version, today, context.library.of(home.course, today).digest()


def stamp_of(where: Situation) -> Hashable:
    """The same, out of a situation."""
    context = where.context
    return where.home.version, today_of(context, where.home), context.library.digest()


def started_home(home: Household | None) -> Household:
    """The household.

    Raises:
        NotStarted: It has not chosen its first step.
    """
    if home is None:
        raise NotStarted("This household has not started. Choose a first step on the start page.")
    return home


def is_editable(on: date, today: date, started: date) -> bool:
    """Whether marks of a date can be changed: today and the seven days before, not before the start."""
    return started <= on <= today and (today - on).days <= EDITABLE_DAYS


@dataclass(frozen=True, slots=True)
class Begun:
    """A situation before its days are folded; the attributes are those of `Situation`.

    Attributes:
        on: The date asked for.
    """

    context: Context
    reading: Reading
    home: Household
    versions: Sequence[CourseVersion]
    today: date
    on: date
    past: Past
    state: State

    def opened(self) -> Situation:
        """The situation, with every day before the date folded into the state and the date opened."""
        opening = open_on(self.state, self.past.book, self.on)
        return Situation(
            context=self.context,
            reading=self.reading,
            home=self.home,
            versions=self.versions,
            today=self.today,
            past=self.past,
            state=self.state,
            opening=opening,
            plan=PlanValues(self.reading),
        )


def begun(context: Context, reading: Reading, on: date | None = None) -> Begun:
    """What is read to fold a household's days up to a date; arguments and errors as for `situation`."""
    home = started_home(reading.household())
    by_clock = today_of(context, home)
    context = replace(context, library=context.library.of(home.course, by_clock))
    versions = versions_of(context, home, reading, by_clock)
    past = past_before(context, home, reading, versions, on or by_clock)
    state = past.resumed()
    today = max(by_clock, state.started)
    on = on or today
    _refuse_beyond(on, state.started, today)
    return Begun(context, reading, home, versions, today, on, past, state)


def _refuse_beyond(on: date, started: date, today: date) -> None:
    if on < started:
        raise OutOfRange(f"{full_date(on)} lies before the start on {full_date(started)}.")
    if on > today:
        raise OutOfRange(f"{full_date(on)} lies in the future; today is {full_date(today)}.")


def situation(context: Context, reading: Reading, on: date | None = None) -> Situation:
    """Where a household stands on a date.

    Args:
        context: Store, lessons and clock.
        reading: The open transaction.
        on: The date, or None for today.

    Raises:
        NotStarted: The household has not started.
        OutOfRange: The date lies before the start or in the future.
        Unknown: The date never happened.
    """
    return begun(context, reading, on).opened()


@contextmanager
def looking(context: Context, household: str, on: date | None = None) -> Iterator[Situation]:
    """A transaction that only reads, with the household's situation on a date, or today.

    Raises:
        NotStarted: The household has not started.
        OutOfRange: The date lies before the start or in the future.
        Unknown: The date never happened.
    """
    with context.store.reading(household) as reading:
        where = situation(context, reading, on)
        yield where
        course_is_new = where.course_is_new
        context.noted.note(where.home.id, where.home.version, where.findings)
    if course_is_new:
        # What was read stands; where it cannot be written down now, the next request notices it.
        with suppress(StoreError), context.store.writing(household) as writing:
            noticed(where.context, writing, where.versions[-1])


def remembered(context: Context, household: str, key: Hashable, work: Callable[[Situation], R]) -> R:
    """What `work` makes of today's situation, worked out anew only after something changed it depends on.

    Unchanged, it costs one primary-key read. The key has to tell apart all that `work` was told besides.

    Raises:
        NotStarted: The household has not chosen its first step.
    """

    def compute() -> R:
        with looking(context, household) as where:
            return work(where)

    return context.memo.get((key, household), stamp(context, household), compute)
