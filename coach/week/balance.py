"""Balance: other days for a week's jobs, shown before and after, and accepted with one tap (home rules)."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from coach.areas.passes import chosen_days, is_area_step
from coach.course.recurrence import in_words
from coach.errors import NotEditable
from coach.ground.situation import looking
from coach.ground.weeks import days_of, week_name
from coach.week.answers import Balance, DayMinutes, Load, Move
from coach.week.facts import is_open_job, week_asked_for, week_facts
from coach.week.moves import rearrange
from coach.week.rules import balance as core
from coach.week.rules.burden import MOST_JOBS, Movable, WeekLoad, burden, loads_of
from coach.week.rules.load import overload
from coach.week.rules.moving import days_within
from coach.week.wording import balance_text, overload_text

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence
    from datetime import date

    from coach.course.model import Step
    from coach.ground.ports import Context
    from coach.ground.situation import Situation
    from coach.week.facts import DayFacts, WeekFacts
    from coach.week.rules.balance import Proposal


CHANGED = "The week has changed since this was proposed. Look at the new proposal."


@dataclass(frozen=True, slots=True)
class Weighed:
    """A week made ready for balance.

    Attributes:
        moves: For each job of `week`, by its step, the moves it could make, by their new dates.
    """

    facts: WeekFacts
    moves: Mapping[str, Mapping[date, Move]]
    week: WeekLoad


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
    return _view(weighed, core.propose(weighed.week))


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
        if not all(to in weighed.moves.get(step, {}) for step, to in moves.items()):
            raise NotEditable(CHANGED)
        _refuse_heavier(weighed, moves)
        return {step: weighed.moves[step][to].repeats for step, to in moves.items()}

    rearrange(context, household, decide, lambda _: None)


def _refuse_heavier(weighed: Weighed, moves: Mapping[str, date]) -> None:
    week, first = weighed.week, weighed.facts.first
    days = [(moves[job.id] - first).days if job.id in moves else job.day for job in week.jobs]
    after, before = burden(week, days), burden(week, week.days)
    if (after.overload, after.heaviest) > (before.overload, before.heaviest):
        raise NotEditable("The week has changed, and this would make it heavier. Look at the new proposal.")


def basis(weighed: Weighed) -> str:
    """All of a week that a proposal depends on: the same text, the same proposal."""
    found = (move for moves in weighed.moves.values() for move in moves.values())
    return f"{weighed.week} {sorted((move.step, move.on, move.to, move.repeats) for move in found)}"


def weighed_in(where: Situation, name: str | None) -> Weighed:
    """A week made ready for balance, out of a situation; the errors are those of `balance`."""
    facts = week_facts(where, week_asked_for(where, name))
    if facts.over:
        raise NotEditable(
            "This week is over and can only be read. Choose the current one or a later one to balance."
        )
    facts = _with_area_step(where, facts)
    found = sorted(_moves_of_jobs(facts), key=lambda moves: -moves[0].minutes)[:MOST_JOBS]
    taken = {(moves[0].step, moves[0].on) for moves in found}
    week = WeekLoad(
        fixed=tuple(_fixed(day, taken) for day in facts.days),
        available=tuple(day.load.available for day in facts.days),
        jobs=tuple(_movable(facts, moves) for moves in found),
    )
    return Weighed(facts, {moves[0].step: {move.to: move for move in moves} for moves in found}, week)


def _with_area_step(where: Situation, facts: WeekFacts) -> WeekFacts:
    """The area's minutes move with the step that works in it, on whose day they lie: it takes them over."""
    if chosen_days(where) is not None:
        return facts
    return replace(facts, days=tuple(_taken_over(day) for day in facts.days))


def _taken_over(day: DayFacts) -> DayFacts:
    load = day.load
    taking = next((step for step in load.steps if is_area_step(step)), None)
    if taking is None:
        return day
    steps = tuple(
        replace(step, minutes=step.minutes + load.area_minutes) if step is taking else step
        for step in load.steps
    )
    return replace(day, load=replace(load, steps=steps, area_minutes=0))


def _moves_of_jobs(facts: WeekFacts) -> Iterator[tuple[Move, ...]]:
    """The moves that each job could make: one of today or a day to come, not marked, once in the week."""
    for day in facts.days:
        for step in day.load.steps:
            start = day.due.starts.get(step.id)
            if start is None or step.id in facts.held or not is_open_job(facts, day, step):
                continue
            rules = days_within(step.repeats, start, day.date, facts.first, max(facts.first, facts.today))
            moves = tuple(_moves(facts, day.date, step, rules))
            if moves:
                yield moves


def _moves(facts: WeekFacts, on: date, step: Step, rules: Mapping[date, str]) -> Iterator[Move]:
    """A job's moves but for those to days away, on which it would not be due at all."""
    open_days = {day.date for day in facts.days if day.due.rest is None}
    for to, rule in rules.items():
        if to in open_days:
            yield Move(step.id, step.title, step.minutes, on, to, rule, in_words(rule))


def _fixed(day: DayFacts, taken: set[tuple[str, date]]) -> int:
    """The minutes that stay; of days gone by nothing is weighed, so that they hide no day to come."""
    if day.past:
        return 0
    staying = (step.minutes for step in day.load.steps if (step.id, day.date) not in taken)
    return day.load.area_minutes + sum(staying)


def _movable(facts: WeekFacts, moves: Sequence[Move]) -> Movable:
    job = moves[0]
    days = {(day - facts.first).days for day in (job.on, *(move.to for move in moves))}
    return Movable(job.step, job.minutes, (job.on - facts.first).days, tuple(sorted(days)))


def _view(weighed: Weighed, proposal: Proposal) -> Balance:
    days = days_of(weighed.facts.first)
    return Balance(
        week=week_name(weighed.facts.first),
        moves=tuple(weighed.moves[step][days[place]] for step, place in proposal.moves.items()),
        before=_load(weighed, loads_of(weighed.week, weighed.week.days)),
        after=_load(weighed, proposal.loads),
        proven=proposal.proven,
        text=balance_text(proposal),
    )


def _load(weighed: Weighed, minutes: tuple[int, ...]) -> Load:
    days = tuple(
        _day(day, spent) for day, spent in zip(weighed.facts.days, minutes, strict=True) if not day.past
    )
    return Load(week_name(weighed.facts.first), sum(day.overload for day in days), max(minutes), days)


def _day(day: DayFacts, minutes: int) -> DayMinutes:
    available = day.load.available
    over = overload(minutes, available)
    return DayMinutes(day.date, day.weekday, minutes, available, over, overload_text(day.date, over))
