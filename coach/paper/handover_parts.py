"""What the records know for a handover: the day's list, jobs, dinners, dues, areas."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, TypeAlias

from coach.areas.plans import kept as areas_kept
from coach.course.direction import isolated
from coach.course.recurrence import falls, in_words
from coach.course.rule import rule_of
from coach.desk.book import needed_between
from coach.desk.overview import dues_by_date
from coach.ground.cautions import caution_views
from coach.ground.plan_rows import Asked, dated_keys
from coach.ground.wording import long_date, minutes_words
from coach.habits.wording import SLOT_WORDS
from coach.kitchen.dinners import KIND as DINNER
from coach.kitchen.dinners import caution as thawing_caution
from coach.kitchen.dinners import dinner_view, last_date, leaving, planned_between
from coach.kitchen.thawing import is_to_leave_by
from coach.paper.handover_answers import ForName, HandoverLine, HandoverSection
from coach.progress.days import ONE_DAY
from coach.progress.opening import SLOT_ORDER
from coach.progress.standing import ON_THE_LIST
from coach.week.job_facts import is_job, jobs_kept, open_since
from coach.week.job_facts import needed as jobs_needed

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from coach.areas.rules.model import Area
    from coach.course.model import Step
    from coach.desk.answers import DueDateView
    from coach.ground.cautions import CautionView
    from coach.ground.situation import Situation
    from coach.kitchen.answers import DinnerView, FrozenView
    from coach.kitchen.dinners import Planned
    from coach.progress.standing import StepStanding
    from coach.week.job_facts import JobsKept

Span: TypeAlias = tuple[ForName, date, date]
"""For whom, and the first and the last date."""

IN_TIME = {"early", "refrigerator"}
"""The stages at which what is frozen can still thaw in the refrigerator."""


def parts_needed(where: Situation, first: date, last: date) -> list[Asked]:
    """What of the plan the parts are in, but for the areas."""
    dinners = Asked(DINNER, *dated_keys(first, max(last, last_date(where.today))))
    return [*jobs_needed(where), dinners, *needed_between(first, last)]


def day_in(where: Situation, span: Span) -> HandoverSection:
    """The day's list by part of the day: what comes on any of the dates, whether or not somebody is away."""
    _, first, last = span
    found = [
        place
        for place in _places(where)
        if not is_job(place.step) and any(_falls(place, day) for day in _days(first, last))
    ]
    lines = []
    for place in sorted(found, key=lambda one: SLOT_ORDER[one.step.slot]):
        step = place.step
        days = "" if rule_of(step.repeats).is_daily else in_words(step.repeats)
        aside = " · ".join(text for text in (minutes_words(step.minutes), step.cue, days) if text)
        lines.append(HandoverLine(SLOT_WORDS[step.slot.value], step.title, aside))
    steps = [place.step for place in found]
    return HandoverSection("day", "The day", "", _headed(lines), _cautions(where, steps))


def jobs_in(where: Situation, span: Span) -> HandoverSection:
    """The weekday jobs on their dates with their lines, and today those that are still open."""
    _, first, last = span
    jobs = [place for place in _places(where) if is_job(place.step)]
    held = jobs_kept(where)
    found = [(day, place) for day in _days(first, last) for place in jobs if _is_due(where, place, day)]
    lines = [_job(held, day, place.step) for day, place in found]
    steps = [place.step for _, place in found]
    return HandoverSection("jobs", "Jobs by day", "", _headed(lines), _cautions(where, steps))


def dinners_in(where: Situation, span: Span) -> HandoverSection:
    """The dinners, and on which date what is frozen has to leave the freezer, for later ones too."""
    _, first, last = span
    furthest = max(last, last_date(where.today))
    planned = {
        on: one
        for on, one in planned_between(where, first, furthest)
        if on <= last or is_to_leave_by(one.dish, on, last)
    }
    moves = [
        (item.refrigerator_by, _move(item, one, on))
        for on, one, item in leaving(where, planned.items(), first, last)
        # What the kitchen's clock says is too late is told beside its dinner.
        if item.stage in IN_TIME
    ]
    meals = [(on, _dinner(dinner_view(where, on, one), on, one)) for on, one in planned.items() if on <= last]
    lines = sorted([*moves, *meals], key=lambda line: line[0])
    is_frozen = any(one.dish.frozen for one in planned.values())
    caution = thawing_caution(where) if is_frozen and lines else None
    cautions = (caution,) if caution else ()
    return HandoverSection("dinners", "Dinner", "", _headed([line for _, line in lines]), cautions)


def dues_in(where: Situation, span: Span) -> HandoverSection:
    """What is due on the dates; what something costs is for whoever stands in, as are dues without a time."""
    whom, first, last = span
    lines = [
        HandoverLine(long_date(on), one.name, _due_aside(one, whom))
        for on, dues in sorted(dues_by_date(where, first, last).items())
        for one in dues.not_seen_to
        if one.time or whom == "stand-in"
    ]
    title = "Due" if whom == "stand-in" else "Appointments"
    return HandoverSection("dues", title, "", _headed(lines))


def areas_in(where: Situation, _span: Span) -> HandoverSection:
    """The areas of the home with their rooms."""
    plan = areas_kept(where).plan
    areas = plan.areas if plan else ()
    lines = tuple(
        HandoverLine("", area.name, _rooms(area), number=number) for number, area in enumerate(areas, 1)
    )
    return HandoverSection("areas", "The home", "", lines)


def _days(first: date, last: date) -> list[date]:
    return [first + ahead * ONE_DAY for ahead in range((last - first).days + 1)]


def _rooms(area: Area) -> str:
    """The rooms of an area, unless its name says just that."""
    return "" if area.rooms == (area.name,) else ", ".join(isolated(room) for room in area.rooms)


def _places(where: Situation) -> list[StepStanding]:
    return [place for place in where.standing.steps.values() if place.state in ON_THE_LIST]


def _falls(place: StepStanding, day: date) -> bool:
    start = place.introduced_on
    return start is not None and falls(place.step.repeats, start, day)


def _is_due(where: Situation, place: StepStanding, day: date) -> bool:
    """Whether a job is to be done on a date; one that is marked today is not."""
    if day != where.today:
        return _falls(place, day)
    is_open = _falls(place, day) or open_since(where, place) is not None
    return is_open and place.step.id not in where.standing.marks


def _job(held: JobsKept, day: date, step: Step) -> HandoverLine:
    under = tuple(f"{isolated(line.title)}, {minutes_words(line.minutes)}" for line in held.plan(step).lines)
    return HandoverLine(long_date(day), step.title, minutes_words(step.minutes), under)


def _dinner(view: DinnerView, on: date, planned: Planned) -> HandoverLine:
    ingredients = ", ".join(isolated(line) for line in planned.dish.ingredients)
    under = (f"With: {ingredients}",) if ingredients else ()
    frozen = tuple(text for item in view.frozen for text in _at_dinner(item))
    return HandoverLine(long_date(on), view.dish, f"at {view.time}", (*under, *frozen))


def _at_dinner(item: FrozenView) -> Iterator[str]:
    """What is said of something frozen beside its dinner: by when at the latest, or what else there is."""
    what = f"{isolated(item.name)}, {isolated(item.weight)}"
    water = f"{item.cold_water_by:%H:%M} on {long_date(item.cold_water_by.date())}"
    if item.stage in IN_TIME:
        yield f"{what}: in the refrigerator from {long_date(item.refrigerator_by)}, at the latest"
    elif item.stage == "cold-water":
        yield (
            f"{what}: it is too late for the refrigerator. Into cold water by {water}; "
            "change the water every 30 minutes, and cook it at once"
        )
    elif item.stage == "too-late":
        yield f"{what}: it is too late to thaw it in time. Have something else, and leave it in the freezer"
    elif item.stage == "left":
        yield f"{what}: it is out of the freezer already"


def _move(item: FrozenView, planned: Planned, on: date) -> HandoverLine:
    """What has to be moved on the latest date for it."""
    title = f"Out of the freezer: {isolated(item.name)}, {isolated(item.weight)}"
    meal = f"{isolated(planned.dish.name)} on {long_date(on)}"
    aside = f"into the refrigerator on this day at the latest, for {meal}"
    return HandoverLine(long_date(item.refrigerator_by), title, aside)


def _due_aside(one: DueDateView, whom: ForName) -> str:
    time = f"at {one.time}" if one.time else ""
    amount = isolated(one.amount) if one.amount and whom == "stand-in" else ""
    return " · ".join(text for text in (time, amount) if text)


def _headed(lines: Sequence[HandoverLine]) -> tuple[HandoverLine, ...]:
    """The lines with a heading only where a new one begins."""
    before = ("", *(line.heading for line in lines))
    return tuple(
        replace(line, heading="") if line.heading == heading else line
        for line, heading in zip(lines, before, strict=False)
    )


def _cautions(where: Situation, steps: Iterable[Step]) -> tuple[CautionView, ...]:
    return caution_views(where.context.library, (step.caution for step in steps))
