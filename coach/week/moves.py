"""Jobs moved to other days: the rows that move them, what was moved last, and its undoing."""

from __future__ import annotations

import json
from datetime import timedelta
from typing import TYPE_CHECKING, TypeVar

from coach.course.direction import isolated
from coach.course.recurrence import falls, in_words, next_fall
from coach.course.rule import rule_of
from coach.course.shapes import required, shape
from coach.errors import Malformed, NotEditable
from coach.ground.weeks import last_day, week_name, week_of
from coach.ground.wording import long_date
from coach.ground.writing import Decision, written
from coach.progress.log import Row, What
from coach.week.answers import MovedJob
from coach.week.job_facts import held, job_place
from coach.week.rules.moving import moved

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from datetime import date

    from coach.ground.plan_rows import PlanRow
    from coach.ground.ports import Context
    from coach.ground.situation import Situation
    from coach.progress.standing import StepStanding

R = TypeVar("R")

MOVED = "moved"
_SHOWN_FOR = timedelta(days=7)


_MOVED = shape({str: {"from": str, "to": str}})


def move(context: Context, household: str, step: str, on: date, to: date) -> str:
    """Move a job to another day of a week, from today on: the same number of weeks or months apart as before.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        step: The job.
        on: A date on which it falls.
        to: Another date of the same week.

    Returns:
        The name of that week.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: There is no such step.
        NotEditable: The week is over, or the job cannot be moved now.
        Malformed: The other date is not one of the same week, or the job does not fall on the first.
    """

    def decide(where: Situation) -> dict[str, str]:
        place = job_place(where, step)
        week = week_of(on, where.starts)
        if last_day(week) < where.today:
            raise NotEditable(
                "This week is over and can only be read. Move the job in this week or a later one."
            )
        if week_of(to, where.starts) != week:
            raise Malformed(
                f"{long_date(to)} is not in the week of {long_date(on)}. Choose another day of that week."
            )
        if on < where.today and place.open_since != on:
            raise NotEditable(
                f"{isolated(place.step.title)} of {long_date(on)} is over, so it stays where it was. "
                "Move the next one."
            )
        return {place.step.id: _new_rule(place, on, to)}

    return rearrange(context, household, decide, lambda where: week_name(week_of(on, where.starts)))


def _new_rule(place: StepStanding, on: date, to: date) -> str:
    step, start = place.step, place.introduced_on
    if start is None or not falls(step.repeats, start, on):
        raise Malformed(f"{step.title} does not fall on {long_date(on)}. Look at the week for its day.")
    rule = moved(step.repeats, start, on, to)
    if rule is None:
        raise NotEditable(
            f"{step.title} comes {in_words(step.repeats)}, which cannot be moved to {to:%A}. "
            "Its own page lets you change how often it comes."
        )
    return rule


def rearrange(
    context: Context,
    household: str,
    decide: Callable[[Situation], Mapping[str, str]],
    answer: Callable[[Situation], R],
) -> R:
    """Give jobs other rules from today on, and keep what they had so that it can be undone.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        decide: Given the situation, the new rule of each step; it raises what speaks against it.
        answer: Given the situation that follows, the answer.

    Raises:
        NotEditable: A job is due today and marked: under its new rule the mark would count for nothing.
    """
    return _write(context, household, decide, _before, answer)


def undo(context: Context, household: str) -> None:
    """Take back what was moved last; a job whose rule was changed again since stays as it is.

    Raises:
        NotStarted: The household has not chosen its first step.
        NotEditable: Nothing is left to undo, or a job is due today and marked.
    """

    def decide(where: Situation) -> dict[str, str]:
        rules = {step: change["from"] for step, change in _standing_moves(where).items()}
        if not rules:
            raise NotEditable("No move is left to undo. A job can be moved to any day in the week.")
        return rules

    _write(context, household, decide, lambda _where, _rules: None, lambda _: None)


def _write(
    context: Context,
    household: str,
    decide: Callable[[Situation], Mapping[str, str]],
    kept: Callable[[Situation, Mapping[str, str]], object],
    answer: Callable[[Situation], R],
) -> R:
    def decided(where: Situation) -> Decision[None]:
        rules = decide(where)
        _refuse_marked(where, rules)
        if not rules:
            return Decision(None)
        rows = [Row(where.today, What.ADJUST, step, _adjustment(rule)) for step, rule in rules.items()]
        return Decision(None, log=rows, plan=[where.row(MOVED, "", kept(where, rules))])

    return written(context, household, decided, lambda where, _: answer(where))


def _adjustment(rule: str) -> str:
    return json.dumps({"repeats": rule}, separators=(",", ":"))


def _refuse_marked(where: Situation, rules: Mapping[str, str]) -> None:
    for step in held(where) & rules.keys():
        place = where.standing.steps[step]
        if place.introduced_on and not falls(rules[step], place.introduced_on, where.today):
            raise NotEditable(
                f"{place.step.title} is marked today, and on another day that mark would not count. "
                "Move it tomorrow, or take the mark back first."
            )


def _before(where: Situation, rules: Mapping[str, str]) -> dict[str, dict[str, str]]:
    steps = where.standing.steps
    return {step: {"from": steps[step].step.repeats, "to": rule} for step, rule in rules.items()}


def _standing_moves(where: Situation) -> dict[str, dict[str, str]]:
    """The moves made last whose jobs still have the rules they got; none once they are a week old."""
    rows = where.plan.history(MOVED, "", 1)
    if not rows or not rows[0].value or where.today - rows[0].date >= _SHOWN_FOR:
        return {}
    changes = where.plan.read_row(rows[0], _changes) or {}
    places = ((where.standing.place(step), change) for step, change in changes.items())
    return {place.step.id: change for place, change in places if place and place.step.repeats == change["to"]}


def _changes(row: PlanRow) -> dict[str, dict[str, str]]:
    found: dict[str, dict[str, str]] = json.loads(row.value)
    required(found, _MOVED)
    for change in found.values():
        rule_of(change["from"])
    return found


def moved_last(where: Situation) -> tuple[MovedJob, ...]:
    """What was moved last and can be undone."""
    steps = where.standing.steps
    return tuple(_moved_job(where, steps[step]) for step in _standing_moves(where))


def _moved_job(where: Situation, place: StepStanding) -> MovedJob:
    step, start = place.step, place.introduced_on
    today = where.today - timedelta(days=1)
    return MovedJob(
        step=step.id,
        title=step.title,
        repeats_text=in_words(step.repeats),
        next=next_fall(step.repeats, start, today) if start else None,
    )
