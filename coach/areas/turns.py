"""The turns of the areas: the weeks to come, arranged, skipped, swapped, given, or for decluttering."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, TypedDict

from coach.areas.answers import RotationView, Share, WeekAhead
from coach.areas.changes import Change, change, changed_rows, no_rows, set_up_now
from coach.areas.overview import all_areas_in
from coach.areas.passes import AREA_DAYS
from coach.areas.plans import kept
from coach.areas.rules.model import position_of
from coach.areas.rules.passes import turns_ahead
from coach.areas.rules.plan import Way
from coach.areas.rules.replanning import decluttered, given, rearranged, restarted, skipped, swapped
from coach.areas.rules.rotation import Mode
from coach.areas.wording import turn_kind, turn_text, why_text
from coach.course.direction import isolated
from coach.errors import Malformed, Unknown
from coach.ground.situation import remembered
from coach.ground.weeks import DAYS_IN_WEEK, place_in_month, week_name
from coach.ground.wording import full_date, minutes_words, short_date

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from datetime import date

    from coach.areas.answers import Areas, ModeName, WayName, WeekdayName
    from coach.areas.passes import AreaNow
    from coach.areas.rules.plan import Plan
    from coach.areas.rules.rotation import Turn
    from coach.ground.plan_rows import PlanRow
    from coach.ground.ports import Context
    from coach.ground.situation import Situation

WEEKS_AHEAD = 12
WEEKS_TO_CHANGE = 53
MODES = {
    Mode.CONTINUOUS: "one area after the other",
    Mode.MONTH: "the weeks of the month",
    Mode.NEED: "the area that needs it most",
}
NOT_FIRST = {
    Mode.MONTH: "By month, the areas take the weeks in their order. Put them into another order instead.",
    Mode.NEED: "By need, a week goes to the area that needs it most. Give this week to another one instead.",
}
WAYS = {Way.LIST: "a list for the week", Way.SPOT: "one short task a day", Way.BOTH: "list and short task"}


class Arrangement(TypedDict, total=False):
    """What can be arranged about the turns; what is left out stays as it is.

    Attributes:
        first: The id of an area with which the rotation starts anew in this week.
    """

    mode: ModeName
    minutes_a_week: int
    way: WayName
    spot_minutes: int
    area_days: Sequence[WeekdayName]
    first: str


def arrange(context: Context, household: str, wanted: Arrangement) -> Areas:
    """Change how the areas are worked in, from this week on.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: The areas are not set up, or there is no area of that id.
        Malformed: A number of minutes is out of range, or no area is first where the month or need decides.
    """

    def days(where: Situation) -> list[PlanRow]:
        return [where.row(AREA_DAYS, "", list(wanted["area_days"]))]

    also = days if "area_days" in wanted else no_rows
    return change(context, household, lambda found: _arranged(found, wanted), all_areas_in, also)


def rearranged_rows(where: Situation) -> list[PlanRow]:
    """What takes the turns up where they stand when weeks begin on another day; nothing before the set-up."""
    return changed_rows(where, lambda found: _arranged(found, {})) if kept(where).plan else []


def _arranged(found: Change, wanted: Arrangement) -> tuple[Plan, str]:
    old = found.plan
    turns = replace(
        old.rotation,
        mode=Mode(wanted.get("mode", old.rotation.mode)),
        starts=found.where.starts,
        minutes_a_week=wanted.get("minutes_a_week", old.rotation.minutes_a_week),
    )
    today, turn = found.where.today, found.opening.turn
    plan = old if turns == old.rotation else rearranged(old, turns, today, turn)
    plan = replace(
        plan, way=Way(wanted.get("way", plan.way)), spot_minutes=wanted.get("spot_minutes", plan.spot_minutes)
    )
    if "first" in wanted:
        plan = _started_with(plan, wanted["first"], today)
    said = ", ".join(_differences(old, plan, started_anew="first" in wanted))
    return plan, f"Arranged the turns: {said or 'weeks begin on another day'}"


def _started_with(plan: Plan, first: str, today: date) -> Plan:
    if plan.rotation.mode in NOT_FIRST:
        raise Malformed(NOT_FIRST[plan.rotation.mode])
    return restarted(plan, position_of(plan.areas, first) + 1, today)


def _differences(old: Plan, new: Plan, *, started_anew: bool) -> Iterator[str]:
    if new.rotation.mode is not old.rotation.mode:
        yield MODES[new.rotation.mode]
    if new.rotation.minutes_a_week != old.rotation.minutes_a_week:
        yield f"{minutes_words(new.rotation.minutes_a_week)} a week"
    if new.way is not old.way:
        yield WAYS[new.way]
    if new.spot_minutes != old.spot_minutes:
        yield f"short tasks of at most {minutes_words(new.spot_minutes)}"
    if started_anew:
        yield f"{isolated(new.areas[new.rotation.first - 1].name)} now"


def rotation(context: Context, household: str, weeks: int = WEEKS_AHEAD) -> RotationView:
    """The weeks to come, from this one on.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: The areas are not set up.
        Malformed: The calendar has not that many weeks.
    """
    return remembered(context, household, ("rotation", weeks), lambda where: rotation_in(where, weeks))


def rotation_in(where: Situation, weeks: int = WEEKS_AHEAD) -> RotationView:
    """The weeks to come, out of a situation; the errors are those of `rotation`."""
    return _rotation_view(where, set_up_now(where), weeks)


def skip(context: Context, household: str, week: date) -> RotationView:
    """Leave a week free: the turn that stands there is dropped, and the rotation goes on after it.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: The areas are not set up, or the week lies in the past or too far ahead.
        Malformed: Nobody has a turn in that week.
    """

    def decide(found: Change) -> tuple[Plan, str]:
        turn = _turn(found, week)
        if turn_kind(found.plan, turn) in {"skipped", "away", "before"}:
            raise Malformed(f"Nobody has a turn in the week of {short_date(turn.week)}. Choose another week.")
        return skipped(found.plan, turn), f"Left the week of {short_date(turn.week)} free"

    return change(context, household, decide, rotation_in)


def swap(context: Context, household: str, week: date, other: date) -> RotationView:
    """Let two weeks change their turns.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: The areas are not set up, or a week lies in the past or too far ahead.
        Malformed: It is the same week, or in one of them the household is away, or the areas go by need.
    """

    def decide(found: Change) -> tuple[Plan, str]:
        if found.plan.rotation.mode is Mode.NEED:
            raise Malformed(
                "By need, who has a week to come is not fixed yet. Give this week to another area instead."
            )
        one, two = _turn(found, week), _turn(found, other)
        for turn in (one, two):
            if turn.waits:
                raise Malformed(f"You are away in the week of {short_date(turn.week)}. Choose another week.")
        said = f"Swapped the turns of the weeks of {short_date(one.week)} and {short_date(two.week)}"
        return swapped(found.plan, one, two), said

    return change(context, household, decide, rotation_in)


def give(context: Context, household: str, area: str) -> RotationView:
    """By need, give this week to an area, whatever the others need.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: The areas are not set up, or there is no such area.
        Malformed: The areas do not go by need, or nobody has a turn this week.
    """

    def decide(found: Change) -> tuple[Plan, str]:
        name, turn = found.plan.areas[position_of(found.plan.areas, area)].name, found.opening.turn
        if found.plan.rotation.mode is not Mode.NEED:
            raise Malformed("Only by need is a week given to an area. Swap two weeks instead.")
        if not turn.by_need or turn.waits:
            raise Malformed("Nobody has a turn this week, so it cannot be given to an area.")
        return given(found.plan, turn, area), f"Gave this week to {isolated(name)}"

    return change(context, household, decide, rotation_in)


def declutter(context: Context, household: str, weeks: int | None = None) -> RotationView:
    """Let the declutter lists take the place of the others from this week on.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        weeks: For so many turns; one round of all areas without it; 0 ends it.

    Raises:
        NotStarted: The household has not chosen its first step.
        Unknown: The areas are not set up.
        Malformed: So many weeks are not meant.
    """

    def decide(found: Change) -> tuple[Plan, str]:
        if weeks == 0:
            return replace(found.plan, declutter=None), "Ended the declutter weeks"
        return decluttered(found.plan, found.opening.turn, weeks), "Began declutter weeks"

    return change(context, household, decide, rotation_in)


def _turn(found: Change, day: date) -> Turn:
    """The turn of the week that holds a day."""
    for turn in turns_ahead(found.opening, WEEKS_TO_CHANGE, found.where.away):
        if 0 <= (day - turn.week).days < DAYS_IN_WEEK:
            return turn
    raise Unknown(f"{full_date(day)} lies in no week from this one to {WEEKS_TO_CHANGE} weeks ahead.")


def _rotation_view(where: Situation, now: AreaNow, weeks: int) -> RotationView:
    """So many weeks from this one on."""
    opening = now.opening
    _, *ahead = (_week_ahead(opening.plan, turn) for turn in now.turns(weeks))
    this = _week_ahead(opening.plan, opening.turn)
    this = replace(this, text=" ".join(filter(None, [this.text, why_text(opening)])), forecast=False)
    rotation, said = opening.plan.rotation, kept(where).said
    return RotationView(rotation.mode.value, rotation.minutes_a_week, (this, *ahead), said or None)


def _week_ahead(home: Plan, turn: Turn) -> WeekAhead:
    place = place_in_month(turn.week)
    return WeekAhead(
        week=turn.week,
        name=week_name(turn.week),
        month=f"{place.year:04d}-{place.month:02d}",
        number=place.number,
        of=place.length,
        areas=tuple(
            Share(home.areas[position - 1].id, home.areas[position - 1].name, position, minutes)
            for position, minutes in zip(turn.areas, turn.minutes, strict=True)
        ),
        kind=turn_kind(home, turn),
        declutter=home.declutter is not None and home.declutter.covers(turn.number),
        text=turn_text(home, turn),
        forecast=turn.by_need,
    )
