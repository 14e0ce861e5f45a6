"""The week: seven days with everything due, how past days closed, and minutes beside those available."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.course.recurrence import in_words, is_by_days
from coach.course.rule import WEEKDAYS
from coach.desk.answers import DuesOn
from coach.desk.book import needed_between
from coach.desk.overview import dues_by_date
from coach.errors import Malformed
from coach.ground.parts import part_of
from coach.ground.plan_rows import Asked
from coach.ground.situation import looking, remembered
from coach.ground.weeks import WEEK, last_day, week_name
from coach.ground.writing import Decision, to_plan, written
from coach.progress.opening import Phase
from coach.week.answers import Available, DayMinutes, DueStep, Load, Week, WeekDay
from coach.week.facts import (
    AVAILABLE,
    FURTHEST,
    days_to_choose,
    is_open_job,
    minutes_available,
    today_facts,
    week_asked_for,
    week_facts,
)
from coach.week.hands import minutes_by_member
from coach.week.job_facts import is_job
from coach.week.moves import moved_last
from coach.week.rules.load import can_wait, check_available
from coach.week.wording import overload_text

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from coach.course.model import Step
    from coach.ground.ports import Context
    from coach.ground.situation import Situation
    from coach.week.answers import WeekdayName
    from coach.week.facts import DayFacts, WeekFacts

KEEPING = ("kept", "small")
NO_DUES = DuesOn((), ())


def week(context: Context, household: str, name: str | None = None) -> Week:
    """A week with everything due in it; worked out anew only after something was written.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        name: Such as 2027-W05; the current week if none is named.

    Raises:
        NotStarted: The household has not chosen its first step.
        Malformed: There is no such week.
        OutOfRange: It lies before the start, or more than ten years ahead.
    """
    return remembered(context, household, ("week", name), lambda where: week_in(where, name))


def load(context: Context, household: str, name: str | None = None) -> Load:
    """The minutes of a week's dates beside those available; the errors are those of `week`."""
    return load_of(week(context, household, name))


def week_in(where: Situation, name: str | None = None) -> Week:
    """A week with everything due in it, out of a situation; the errors are those of `week`."""
    first = week_asked_for(where, name)
    where.plan.fetch([Asked(AVAILABLE), *needed_between(first, last_day(first))])
    return week_view(where, week_facts(where, first))


def today_in(where: Situation) -> WeekDay:
    """Today as the week shows it, but for its dues, which stand on today's page by themselves."""
    facts = today_facts(where)
    return _day(facts, facts.days[0], NO_DUES)


def week_view(where: Situation, facts: WeekFacts) -> Week:
    """A week as pages and JSON show it."""
    first, standing = facts.first, where.standing
    dues = dues_by_date(where, first, last_day(first))
    has_earlier = last_day(first - WEEK) >= standing.started
    return Week(
        week=week_name(first),
        first=first,
        last=last_day(first),
        current=first == where.week,
        editable=not facts.over,
        earlier=week_name(first - WEEK) if has_earlier else None,
        later=week_name(first + WEEK) if first + WEEK - where.today <= FURTHEST else None,
        lapsed=standing.phase is Phase.LAPSED,
        days=tuple(_day(facts, day, dues.get(day.date, NO_DUES)) for day in facts.days),
        available=_by_weekday(facts.available),
        moved=() if facts.over else moved_last(where),
        by_member=minutes_by_member(where, first, last_day(first)),
    )


def _day(facts: WeekFacts, day: DayFacts, dues: DuesOn) -> WeekDay:
    habits = tuple(_due(facts, day, step) for step in day.load.steps if not is_job(step))
    overload = day.load.overload
    return WeekDay(
        date=day.date,
        weekday=day.weekday,
        past=day.past,
        today=day.today,
        rest=day.due.rest,
        habits=habits,
        habit_minutes=sum(habit.minutes for habit in habits),
        habits_kept=sum(habit.closed in KEEPING for habit in habits),
        jobs=tuple(_due(facts, day, step) for step in day.load.steps if is_job(step)),
        earlier=tuple(_earlier(facts, day)),
        area_minutes=day.load.area_minutes,
        minutes=day.load.minutes,
        available=day.load.available,
        overload=overload,
        overload_text=overload_text(day.date, overload),
        can_wait=tuple(step.id for step in can_wait(day.load, _open_jobs(facts, day))),
        dues=dues.not_seen_to,
        seen_to=dues.seen_to,
    )


def _due(facts: WeekFacts, day: DayFacts, step: Step) -> DueStep:
    closing = facts.closings.get((step.id, day.date))
    return DueStep(
        step=step.id,
        title=step.title,
        minutes=step.minutes,
        since=day.date,
        closed=closing.how if closing else None,
        closed_on=closing.on if closing else None,
        days=tuple(days_to_choose(facts, day, step)),
        held=step.id in facts.held and is_open_job(facts, day, step),
        days_text=None if is_job(step) or is_by_days(step.repeats) else in_words(step.repeats),
        works_in=part_of(step),
    )


def _earlier(facts: WeekFacts, day: DayFacts) -> Iterable[DueStep]:
    for step, since in day.due.earlier:
        closing = facts.closings.get((step.id, since))
        how, on = (closing.how, closing.on) if closing else (None, None)
        yield DueStep(step.id, step.title, step.minutes, since, how, on, works_in=part_of(step))


def _open_jobs(facts: WeekFacts, day: DayFacts) -> set[str]:
    """The jobs of a date that are not marked: each stays open until the day before it comes again."""
    return {step.id for step in day.load.steps if is_open_job(facts, day, step)}


def load_of(week: Week) -> Load:
    """A week's minutes alone."""
    days = tuple(
        DayMinutes(day.date, day.weekday, day.minutes, day.available, day.overload, day.overload_text)
        for day in week.days
    )
    return Load(week.week, sum(day.overload for day in days), max(day.minutes for day in days), days)


def available(context: Context, household: str) -> Available:
    """The minutes available by weekday.

    Raises:
        NotStarted: The household has not chosen its first step.
    """
    with looking(context, household) as where:
        return available_in(where)


def available_in(where: Situation) -> Available:
    """The minutes available by weekday, out of a situation."""
    return Available(_by_weekday(minutes_available(where)))


def set_available(context: Context, household: str, minutes: Mapping[str, int | None]) -> Available:
    """Say how many minutes there are on weekdays; those not named stay, None takes a number away.

    Raises:
        NotStarted: The household has not chosen its first step.
        Malformed: There is no such weekday, or no such number of minutes.
    """
    for weekday in minutes:
        if weekday not in WEEKDAYS:
            raise Malformed(
                f"“{weekday[:20]}” is no weekday. Write {', '.join(WEEKDAYS[:-1])} or {WEEKDAYS[-1]}."
            )
    said = {WEEKDAYS.index(day): number for day, number in minutes.items() if number is not None}
    check_available(said)

    def decide(where: Situation) -> Decision[None]:
        known = minutes_available(where)
        return to_plan(
            [
                where.row(AVAILABLE, day, number)
                for day, number in minutes.items()
                if known.get(WEEKDAYS.index(day)) != number
            ]
        )

    return written(context, household, decide, lambda where, _: available_in(where))


def _by_weekday(known: Mapping[int, int]) -> dict[WeekdayName, int | None]:
    """The minutes of every weekday by its name, Monday first; None where the household has not said."""
    return {weekday: known.get(place) for place, weekday in enumerate(WEEKDAYS)}  # type: ignore[misc]  # these names
