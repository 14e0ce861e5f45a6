"""A plan taken further: turns skipped, swapped or given, declutter weeks, other areas, another mode."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from coach.areas.rules.plan import Declutter, Sorting
from coach.areas.rules.rotation import Mode, a_round
from coach.errors import Malformed
from coach.ground.weeks import fourth_day

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence
    from datetime import date

    from coach.areas.rules.model import Area
    from coach.areas.rules.plan import Plan
    from coach.areas.rules.rotation import Rotation, Turn


def skipped(plan: Plan, turn: Turn) -> Plan:
    """The plan with a turn skipped: its week stays free, and the rotation goes on after it."""
    rotation = plan.rotation
    return replace(plan, rotation=replace(rotation, skipped=rotation.skipped | {turn.content}))


def swapped(plan: Plan, one: Turn, other: Turn) -> Plan:
    """The plan with two turns in each other's place.

    Raises:
        Malformed: They are the same, or lie before the start.
    """
    if one.number == other.number or min(one.number, other.number) < 0:
        raise Malformed("Two different turns change places. Choose another week.")
    pairs = (*plan.rotation.swapped, (one.number, other.number))
    return replace(plan, rotation=replace(plan.rotation, swapped=pairs))


def given(plan: Plan, turn: Turn, area: str) -> Plan:
    """The plan with a turn given to an area, by its id, whatever the others need."""
    return replace(plan, given=(turn.number, area))


def sorted_first(plan: Plan, area: Area, since: date, done: Collection[str]) -> Plan:
    """The plan with an area that is sorted out first, from a date on.

    Args:
        plan: The plan that held.
        area: One of its areas.
        since: The date of the change.
        done: The ids of the tasks done in the pass through the area's declutter list; if they are all,
            the list begins anew.
    """
    tasks = {task.id for task in area.declutter}
    begun = frozenset(tasks.intersection(done))
    sorting = Sorting(area.id, since, frozenset() if begun == tasks else begun)
    return replace(plan, sorting=(*not_sorted_first(plan, area).sorting, sorting))


def not_sorted_first(plan: Plan, area: Area) -> Plan:
    """The plan without that."""
    return replace(plan, sorting=tuple(one for one in plan.sorting if one.area != area.id))


def still_sorting(plan: Plan, areas: tuple[Area, ...], last_done: Mapping[str, date]) -> Plan:
    """The plan without the areas that are sorted out, or gone, by the time the areas change to these.

    So a task that is added to a declutter list later does not take the sorting up again.
    """
    if areas == plan.areas:
        return plan
    here = {area.id for area in areas}
    left = {area.id for area in plan.areas if area.id in here and plan.is_sorted_out(area, last_done)}
    return replace(plan, sorting=tuple(one for one in plan.sorting if one.area in left))


def decluttered(plan: Plan, turn: Turn, weeks: int | None = None) -> Plan:
    """The plan with declutter weeks from a turn on: so many, or else one round of all areas."""
    number = max(0, turn.number)
    chosen = a_round(plan.rotation, number) if weeks is None else weeks
    return replace(plan, declutter=Declutter(number, chosen))


def redivided(plan: Plan, areas: tuple[Area, ...], since: date, turn: Turn) -> Plan:
    """The plan with its areas changed, taken up where the rotation stands.

    The area whose turn it is keeps it if it is still there; else the turn goes to the one that came after it.
    Skips, swaps and declutter weeks to come are kept. By need this week stays with its area,
    whatever the lists ask for now.

    Args:
        plan: The plan that held.
        areas: The areas as they are from now on, already checked.
        since: The date of the change.
        turn: The turn of the week that holds this date, by the plan that held.
    """
    if areas == plan.areas:
        return replace(plan, since=since)
    if [area.id for area in areas] == [area.id for area in plan.areas]:
        return replace(plan, since=since, areas=areas, given=_kept_by(plan, turn))
    rotation = replace(
        _from_turn(plan.rotation, turn), areas=len(areas), first=_still_there(plan, areas, turn.number)
    )
    plan = replace(plan, given=_from_zero(_kept_by(plan, turn), turn), declutter=_from_here(plan, turn))
    return replace(plan, since=since, areas=areas, rotation=rotation)


def rearranged(plan: Plan, rotation: Rotation, since: date, turn: Turn) -> Plan:
    """The plan with another mode, week start or minutes a week, taken up where the rotation stands.

    The new weeks begin with the one that shares most days with the week of the change. Skips and swaps to
    come are kept unless the mode changes.

    Args:
        plan: The plan that held.
        rotation: Whose mode, week start and minutes a week are taken.
        since: The date of the change.
        turn: The turn of the week that holds this date, by the plan that held.
    """
    old = plan.rotation
    anew = replace(
        _from_turn(old, turn),
        mode=rotation.mode,
        starts=rotation.starts,
        minutes_a_week=rotation.minutes_a_week,
        first=_area_now(plan, turn),
    )
    kept = _from_zero(_kept_by(plan, turn), turn)
    if rotation.mode is not old.mode:
        anew, kept = replace(anew, skipped=frozenset(), swapped=()), None
    return replace(plan, since=since, rotation=anew, declutter=_from_here(plan, turn), given=kept)


def restarted(plan: Plan, first: int, since: date) -> Plan:
    """The plan with its rotation started anew, from the week of a date and a chosen area."""
    rotation = replace(plan.rotation, start=since, first=first, skipped=frozenset(), swapped=())
    return replace(plan, since=since, rotation=rotation, declutter=None)


def _area_now(plan: Plan, turn: Turn) -> int:
    """The position of the area a continuous rotation goes on with, before swaps."""
    if plan.rotation.mode is not Mode.CONTINUOUS:
        return turn.areas[0] if turn.areas else 1
    return (plan.rotation.first - 1 + max(0, turn.number)) % plan.rotation.areas + 1


def _still_there(plan: Plan, areas: Sequence[Area], number: int) -> int:
    here = {area.id: position for position, area in enumerate(areas, 1)}
    first = plan.rotation.first - 1 + max(0, number)
    following = (plan.areas[(first + ahead) % len(plan.areas)].id for ahead in range(len(plan.areas)))
    return next((here[area_id] for area_id in following if area_id in here), 1)


def _from_turn(rotation: Rotation, turn: Turn) -> Rotation:
    """The rotation with a turn's week as its first, and what was skipped or swapped numbered anew."""
    if turn.number < 0:
        return rotation
    return replace(
        rotation,
        start=fourth_day(turn.week),
        skipped=frozenset(number - turn.number for number in rotation.skipped),
        swapped=tuple((one - turn.number, other - turn.number) for one, other in rotation.swapped),
    )


def _kept_by(plan: Plan, turn: Turn) -> tuple[int, str] | None:
    """By need, the turn of this week with its area, so that no change of the lists moves it to another.

    A week that does not count is nobody's, and the next one goes to the area that needs it most then.
    """
    if not turn.by_need or turn.waits or not turn.areas:
        return plan.given
    return turn.number, plan.areas[turn.areas[0] - 1].id


def _from_zero(given: tuple[int, str] | None, turn: Turn) -> tuple[int, str] | None:
    """A turn that was given, numbered anew as `_from_turn` numbers turns."""
    return (given[0] - max(0, turn.number), given[1]) if given else None


def _from_here(plan: Plan, turn: Turn) -> Declutter | None:
    if plan.declutter is None or turn.number < 0:
        return plan.declutter
    return replace(plan.declutter, first=plan.declutter.first - turn.number)
