"""Today as a household meets it: the day, and what stands around its habits, out of one reading."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.areas.passes import AREA_DAYS, area_now, is_area_step
from coach.areas.plans import is_divided
from coach.areas.week import week_view
from coach.around.answers import Around, KitchenAndDesk
from coach.course.model import Part
from coach.desk.book import DONE, DUE, LATELY, PICKED, TODO
from coach.desk.offers import errand_offer
from coach.desk.overview import desk_today_in, errands_today_in, put_off_today_in
from coach.ground.pages import OPENED
from coach.ground.parts import on_the_list, part_of
from coach.ground.plan_rows import Asked, dated_keys
from coach.ground.situation import stamp
from coach.habits.few_lines import FEW
from coach.household.places import places_in
from coach.kitchen.dinners import day_in
from coach.kitchen.favourites import kept
from coach.kitchen.planning import moves
from coach.kitchen.planning import needed as dinners_needed
from coach.week.days import today_in
from coach.week.facts import AVAILABLE
from coach.week.job_facts import is_job, jobs_kept
from coach.week.job_facts import needed as jobs_needed
from coach.week.jobs import job_view

if TYPE_CHECKING:
    from collections.abc import Hashable, Iterator, Sequence

    from coach.areas.answers import AreaWeekView
    from coach.ground.parts import PartName
    from coach.ground.ports import Context
    from coach.ground.situation import Situation
    from coach.progress.standing import StepStanding


def minute_stamp(context: Context, household: str) -> Hashable:
    """What today depends on, and the minute: a timer runs on, and food thaws, without anything being written.

    Raises:
        NotStarted: The household has not chosen its first step.
    """
    return stamp(context, household), context.clock().replace(second=0, microsecond=0)


def around_in(where: Situation, besides: Sequence[Asked] = ()) -> Around:
    """What stands around the habits of the current day, out of a situation of it.

    What it needs of the plan is read in one statement, with what the page needs besides.
    """
    where.plan.fetch([*_needed(where), *besides])
    open_pages = places_in(where).open
    area = _area(where) if "areas" in open_pages else None
    lines = jobs_kept(where)
    shows = {"dinner", "desk"} & set(open_pages) or where.plan.keys(DUE)
    return Around(
        open=open_pages,
        area=area,
        rooms_first=_rooms_first(where) if "areas" in open_pages and area is None else None,
        jobs=tuple(job_view(where, place, lines) for place in _jobs_today(where, area)),
        kitchen=kitchen_and_desk_in(where) if shows else None,
        load=today_in(where) if "week" in open_pages else None,
        held=_held(where),
        on_list=frozenset(part for _, part in _working(where)),
    )


def _working(where: Situation) -> Iterator[tuple[str, PartName]]:
    """The steps of today's list that work in a part of the plan, with that part."""
    steps = where.standing.steps
    for step in where.standing.checklist:
        if (part := part_of(steps[step].step)) is not None:
            yield step, part


def _held(where: Situation) -> dict[PartName, str]:
    """For each part of the plan the first step of today's list without a mark that works in it."""
    marks = where.standing.marks
    found: dict[PartName, str] = {}
    for step, part in _working(where):
        if step not in marks:
            found.setdefault(part, step)
    return found


def _needed(where: Situation) -> list[Asked]:
    return [
        Asked(OPENED),
        Asked(FEW, *dated_keys(where.today, where.today)),
        Asked(AREA_DAYS),
        Asked(AVAILABLE),
        *jobs_needed(where),
        *dinners_needed(where),
        *map(Asked, (DUE, TODO, PICKED)),
        *_needed_for_errands(where),
    ]


def _needed_for_errands(where: Situation) -> list[Asked]:
    """On the days one goes out: what was done lately, to know whether an errand was done today."""
    recent = dated_keys(where.today - LATELY, where.today)
    return [Asked(DONE, *recent)] if on_the_list(where, Part.ERRANDS) else []


def kitchen_and_desk_in(where: Situation) -> KitchenAndDesk:
    """The kitchen and the desk on the household's current day, out of a situation."""
    dinner = day_in(where, where.today)
    asks = dinner.dinner is None and not where.away(where.today)
    return KitchenAndDesk(
        dinner=dinner,
        asks=asks,
        favourites=kept(where) if asks else (),
        moves=moves(where),
        desk=desk_today_in(where),
        put_off=put_off_today_in(where),
        errands=errands_today_in(where),
        errands_offer=errand_offer(where),
    )


def _area(where: Situation) -> AreaWeekView | None:
    now = area_now(where)
    return week_view(where, now) if now else None


def _rooms_first(where: Situation) -> str | None:
    """The title of the first step on today's list that needs the home divided; none if it is."""
    here = on_the_list(where, Part.AREAS)
    return here[0].step.title if here and not is_divided(where) else None


def _jobs_today(where: Situation, area: AreaWeekView | None) -> Iterator[StepStanding]:
    """The weekday jobs on today's checklist; without area work, if the area itself is shown."""
    standing = where.standing
    for step_id in standing.checklist:
        place = standing.steps[step_id]
        if is_job(place.step) and not (area and is_area_step(place.step)):
            yield place
