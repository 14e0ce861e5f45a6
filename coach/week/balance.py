"""Balance: other days for a week's jobs, shown before and after, and accepted with one tap (home.md §3)."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from coach.areas.week import AREA_DAYS, AREA_STEP
from coach.course.recurrence import in_words
from coach.errors import NotEditable
from coach.ground.situation import looking
from coach.ground.weeks import days_of, week_name
from coach.week.answers import Balance, DayMinutes, Load, Move
from coach.week.days import weekday_of
from coach.week.facts import is_open_job, refuse_if_over, week_asked_for, week_facts
from coach.week.moves import rearrange
from coach.week.rules import balance as core
from coach.week.rules.moving import days_within
from coach.week.wording import balance_text, overload_text

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from coach.course.model import Step
    from coach.ground.ports import Context
    from coach.ground.situation import Situation
    from coach.week.facts import DayFacts, WeekFacts


@dataclass(frozen=True, slots=True)
class Movable:
    """A job balance may move.

    Attributes:
        on: The date it falls on.
        rules: For each date it may move to, the rule it would get.
    """

    step: Step
    on: date
    rules: Mapping[date, str]


@dataclass(frozen=True, slots=True)
class Weighed:
    """A week made ready for balance: its jobs in the order of `week.jobs`."""

    facts: WeekFacts
    jobs: tuple[Movable, ...]
    week: core.Week


def balance(context: Context, household: str, name: str | None = None) -> Balance:
    """What balance proposes for a week; nothing is written.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        name: Such as 2027-W05; the current week if none is named.

    Raises:
        NotStarted: The household has not chosen its first step.
        Malformed: There is no such week.
        OutOfRange: It lies before the start, or more than ten years ahead.
        NotEditable: It is over.
    """
    with looking(context, household) as where:
        weighed = weighed_in(where, name)
    return proposed(weighed)


def proposed(weighed: Weighed) -> Balance:
    """What balance proposes for a week made ready; the solver runs outside any transaction."""
    return _view(weighed, core.balance(weighed.week))


def accept(context: Context, household: str, name: str | None, moves: Mapping[str, date]) -> None:
    """Move jobs as balance proposed, from today on.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        name: The week; the current one if none is named.
        moves: For each job that moves the date it moves to.

    Raises:
        NotStarted: The household has not chosen its first step.
        Malformed: There is no such week.
        OutOfRange: It lies before the start, or more than ten years ahead.
        NotEditable: The week is over or has changed, so that the moves are no longer possible or do no good.
    """

    def decide(where: Situation) -> dict[str, str]:
        weighed = weighed_in(where, name)
        movable = {job.step.id: job for job in weighed.jobs}
        if not all(step in movable and to in movable[step].rules for step, to in moves.items()):
            raise NotEditable("The week has changed since this was proposed. Look at the new proposal.")
        _refuse_heavier(weighed, moves)
        return {step: movable[step].rules[to] for step, to in moves.items()}

    rearrange(context, household, decide, lambda _: None)


def _refuse_heavier(weighed: Weighed, moves: Mapping[str, date]) -> None:
    week, first = weighed.week, weighed.facts.first
    days = [(moves[job.id] - first).days if job.id in moves else job.day for job in week.jobs]
    after, before = core.burden(week, days), core.burden(week, week.days)
    if (after.overload, after.heaviest) > (before.overload, before.heaviest):
        raise NotEditable("The week has changed, and this would make it heavier. Look at the new proposal.")


def weighed_in(where: Situation, name: str | None) -> Weighed:
    """A week made ready for balance, out of a situation; the errors are those of `balance`."""
    facts = week_facts(where, week_asked_for(where, name))
    refuse_if_over(facts, "balance")
    facts = _with_area_hour(where, facts)
    jobs = tuple(sorted(_movable(facts), key=lambda job: -job.step.minutes)[: core.MOST_JOBS])
    taken = {(job.step.id, job.on) for job in jobs}
    week = core.Week(
        fixed=tuple(_fixed(day, taken) for day in facts.days),
        available=tuple(day.load.available for day in facts.days),
        jobs=tuple(_job(facts, job) for job in jobs),
    )
    return Weighed(facts, jobs, week)


def _with_area_hour(where: Situation, facts: WeekFacts) -> WeekFacts:
    """Where the area's minutes lie on the day of the area's hour, they move with it: it takes them over."""
    if where.value(AREA_DAYS) is not None:
        return facts
    return replace(facts, days=tuple(_taken_over(day) for day in facts.days))


def _taken_over(day: DayFacts) -> DayFacts:
    load = day.load
    if not any(step.id == AREA_STEP for step in load.steps):
        return day
    steps = tuple(
        replace(step, minutes=step.minutes + load.area_minutes) if step.id == AREA_STEP else step
        for step in load.steps
    )
    return replace(day, load=replace(load, steps=steps, area_minutes=0))


def _movable(facts: WeekFacts) -> list[Movable]:
    """The jobs of today and the days to come that are not marked and fall once in the week."""
    found: list[Movable] = []
    for day in facts.days:
        for step in day.load.steps:
            start = day.due.starts.get(step.id)
            if start is None or step.id in facts.held or not is_open_job(facts, day, step):
                continue
            rules = days_within(step.repeats, start, day.date, facts.first, max(facts.first, facts.today))
            found.append(Movable(step, day.date, _where_something_can_be(facts, rules)))
    return [job for job in found if job.rules]


def _where_something_can_be(facts: WeekFacts, rules: Mapping[date, str]) -> dict[date, str]:
    """Without the days away: a job moved there would not be due at all."""
    open_days = {day.date for day in facts.days if day.due.rest is None}
    return {to: rule for to, rule in rules.items() if to in open_days}


def _fixed(day: DayFacts, taken: set[tuple[str, date]]) -> int:
    """The minutes that stay; of days gone by nothing is weighed, so that they hide no day to come."""
    if day.past:
        return 0
    staying = (step.minutes for step in day.load.steps if (step.id, day.date) not in taken)
    return day.load.area_minutes + sum(staying)


def _job(facts: WeekFacts, job: Movable) -> core.Job:
    allowed = {(to - facts.first).days for to in job.rules} | {(job.on - facts.first).days}
    return core.Job(job.step.id, job.step.minutes, (job.on - facts.first).days, tuple(sorted(allowed)))


def _view(weighed: Weighed, proposal: core.Proposal) -> Balance:
    days = days_of(weighed.facts.first)
    moves = proposal.moves
    return Balance(
        week=week_name(weighed.facts.first),
        moves=tuple(_move(job, days[moves[job.step.id]]) for job in weighed.jobs if job.step.id in moves),
        before=_load(weighed, core.loads_of(weighed.week, weighed.week.days)),
        after=_load(weighed, proposal.loads),
        proven=proposal.proven,
        text=balance_text(proposal),
    )


def _move(job: Movable, to: date) -> Move:
    step, rule = job.step, job.rules[to]
    return Move(step.id, step.title, step.minutes, job.on, to, rule, in_words(rule))


def _load(weighed: Weighed, minutes: tuple[int, ...]) -> Load:
    days = tuple(
        _day(day.date, spent, day.load.available)
        for day, spent in zip(weighed.facts.days, minutes, strict=True)
        if not day.past
    )
    return Load(week_name(weighed.facts.first), sum(day.overload for day in days), max(minutes), days)


def _day(day: date, minutes: int, available: int | None) -> DayMinutes:
    over = 0 if available is None else max(0, minutes - available)
    return DayMinutes(day, weekday_of(day), minutes, available, over, overload_text(day, over))
