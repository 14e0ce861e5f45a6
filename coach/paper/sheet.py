"""The week sheet: a week on one sheet of paper, out of one reading, with boxes to tick by hand."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from coach.areas.lists import lists_in
from coach.areas.passes import AREA_DAYS
from coach.desk.book import TODO, needed_between
from coach.ground.pages import OPENED
from coach.ground.plan_rows import Asked
from coach.ground.situation import is_editable, remembered
from coach.ground.weeks import WEEK, last_day, week_name
from coach.ground.wording import full_date
from coach.habits.signatures import is_several, names_in
from coach.kitchen.planning import needed as dinners_needed
from coach.paper.answers import Sheet
from coach.paper.choices import SHEET, choices_in
from coach.paper.sheet_cautions import cautions_in
from coach.paper.sheet_lines import days_of_sheet, jobs_in, lines_in, lived_dates
from coach.paper.sheet_parts import areas_of, dinners_in, dues_in, errands_in, thawing_caution
from coach.week.facts import AVAILABLE, FURTHEST, week_asked_for, week_facts
from coach.week.job_facts import jobs_kept
from coach.week.job_facts import needed as jobs_needed

if TYPE_CHECKING:
    from datetime import date

    from coach.ground.ports import Context
    from coach.ground.situation import Situation

WRITING = 3
"""Lines for handwriting, at least; wherever there is room, there are more."""


def sheet(context: Context, household: str, week: str | None = None) -> Sheet:
    """A week on one sheet; worked out anew only after something was written.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        week: Such as 2027-W05; the current week if none is named.

    Raises:
        NotStarted: The household has not chosen its first step.
        Malformed: There is no such week.
        OutOfRange: It lies before the start, or more than ten years ahead.
    """
    return remembered(context, household, ("sheet", week), lambda where: sheet_in(where, week))


def sheet_in(where: Situation, week: str | None = None) -> Sheet:
    """A week on one sheet, out of a situation; the errors are those of `sheet`."""
    first = week_asked_for(where, week)
    last = last_day(first)
    where.plan.fetch(_needed(where, first, last))
    facts = week_facts(where, first)
    days, jobs = days_of_sheet(facts), jobs_in(where, facts, jobs_kept(where))
    lines = lines_in(where, facts)
    lived, started = lived_dates(facts), where.standing.started
    lists = lists_in(where, first)
    areas, area_text = areas_of(lists)
    dinners = dinners_in(where, first, last)
    return Sheet(
        week=week_name(first),
        first=first,
        last=last,
        title=title(first, last),
        current=first == where.week,
        earlier=week_name(first - WEEK) if last_day(first - WEEK) >= started else None,
        later=week_name(first + WEEK) if first + WEEK - where.today <= FURTHEST else None,
        choices=choices_in(where),
        days=days,
        lines=lines,
        jobs=jobs,
        areas=areas,
        area_text=area_text,
        dinners=dinners,
        dues=dues_in(where, first, last),
        errands=() if facts.over else errands_in(where),
        caution=thawing_caution(where, dinners),
        cautions=cautions_in(where, [*lines, *jobs], lists),
        writing=WRITING,
        members=tuple(names_in(where).values()) if is_several(where) else (),
        enterable=tuple(day for day in lived if is_editable(day, where.today, started)),
        late=tuple(day for day in lived if not is_editable(day, where.today, started)),
    )


def title(first: date, last: date) -> str:
    """What stands at the head: `The week of 1 to 7 February 2027`."""
    if first.year != last.year:
        begins = full_date(first)
    elif first.month != last.month:
        begins = f"{first.day} {first:%B}"
    else:
        begins = str(first.day)
    return f"The week of {begins} to {full_date(last)}"


def as_chosen(sheet: Sheet) -> Sheet:
    """A sheet without what the household leaves off, as it is printed."""
    off = set(sheet.choices.left_off)
    lines = tuple(
        replace(
            line, minutes=0 if "minutes" in off else line.minutes, cue=None if "cues" in off else line.cue
        )
        for line in sheet.lines
    )
    jobs = tuple(
        replace(
            job, minutes=0 if "minutes" in off else job.minutes, lines=() if "job-lines" in off else job.lines
        )
        for job in sheet.jobs
    )
    areas = tuple(
        replace(area, minutes=0, tasks=tuple(replace(task, minutes=0) for task in area.tasks))
        if "minutes" in off
        else area
        for area in sheet.areas
    )
    return replace(
        sheet,
        lines=lines,
        jobs=jobs,
        areas=() if "area" in off else areas,
        area_text="" if "area" in off else sheet.area_text,
        dinners=() if "dinners" in off else sheet.dinners,
        caution=None if "dinners" in off else sheet.caution,
        dues=() if "dues" in off else sheet.dues,
        errands=() if "errands" in off else sheet.errands,
        writing=0 if "writing" in off else sheet.writing,
        members=() if "names" in off else sheet.members,
    )


def _needed(where: Situation, first: date, last: date) -> list[Asked]:
    """What of the plan a sheet is made of, read in one statement."""
    return [
        *map(Asked, (SHEET, OPENED, AVAILABLE, AREA_DAYS, TODO)),
        *jobs_needed(where),
        *dinners_needed(where, first),
        *needed_between(first, last),
    ]
