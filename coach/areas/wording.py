"""The areas in words: how their number was picked, what a week of theirs is, and why."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.areas.rules.model import TaskList
from coach.areas.rules.rotation import Mode
from coach.course.direction import isolated
from coach.ground.weeks import WEEK, place_in_month
from coach.ground.wording import minutes_words, short_date

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator
    from datetime import date

    from coach.areas.answers import TurnKind
    from coach.areas.rules.enough import Coverage
    from coach.areas.rules.model import DetailTask
    from coach.areas.rules.need import Weight
    from coach.areas.rules.passes import Opening
    from coach.areas.rules.plan import Plan
    from coach.areas.rules.rotation import Turn

WEEK_OVER = 7
"""Days from which what is over is said in weeks."""

NOT_SET_UP = "The home is not divided into areas yet. Set them up on the page of the areas."


def weeks_words(count: int) -> str:
    """A number of weeks."""
    return "1 week" if count == 1 else f"{count} weeks"


def days_words(count: int) -> str:
    """A number of days."""
    return "1 day" if count == 1 else f"{count} days"


def joined(names: Iterable[str]) -> str:
    """Names in a row: `Hall, Kitchen and Study`."""
    *first, last = names
    return f"{', '.join(first)} and {last}" if first else last


def picked_words(
    rooms: int, minutes: int, minutes_a_week: int, areas: int, by_minutes: int, turns: int
) -> str:
    """How the number of proposed areas was picked.

    Args:
        rooms: How many were named.
        minutes: Of the detail lists of their kinds.
        minutes_a_week: Of a turn.
        areas: How many are proposed.
        by_minutes: How many the minutes make.
        turns: What a pass through an area takes, on average.
    """
    if rooms == 1:
        return "One room makes one area."
    lists = f"the lists of your {rooms} rooms"
    if areas != by_minutes:
        return (
            f"You chose {areas_words(areas)}; at {minutes_a_week} minutes a week {lists} make {by_minutes}."
        )
    each = "" if areas == 1 else " each"
    return (
        f"T{lists[1:]} hold {minutes_words(minutes)}; at {minutes_a_week} minutes a week they make "
        f"{areas_words(areas)} of about {'1 turn' if turns == 1 else f'{turns} turns'}{each}, so all of it "
        f"is finished once in about {weeks_words(areas * turns)}."
    )


def areas_words(count: int) -> str:
    """A number of areas."""
    return "1 area" if count == 1 else f"{count} areas"


def turn_kind(plan: Plan, turn: Turn) -> TurnKind:
    """What a week of the rotation is."""
    if turn.number < 0:
        return "before"
    if turn.waits:
        return "away"
    if turn.content in plan.rotation.skipped:
        return "skipped"
    if turn.catch_up:
        return "catch-up"
    return "shared" if len(turn.areas) > 1 else "turn"


def turn_text(plan: Plan, turn: Turn) -> str:
    """Why a week is as it is; empty for an ordinary turn."""
    sentence = _SENTENCES[turn_kind(plan, turn)](plan, turn)
    return " ".join([*([sentence] if sentence else []), *_moved(plan, turn)])


def _turn(_plan: Plan, _turn: Turn) -> str:
    return ""


def _shared(plan: Plan, turn: Turn) -> str:
    return f"{_month(plan, turn)}, so its last week is shared by {len(turn.areas)} of them."


def _catch_up(plan: Plan, turn: Turn) -> str:
    over = place_in_month(_own_week(turn)).length - len(plan.areas)
    left = "one week is left over. It" if over == 1 else f"{over} weeks are left over. This one"
    return f"{_month(plan, turn)}, so {left} goes to the area with the most left to do."


def _month(plan: Plan, turn: Turn) -> str:
    week = _own_week(turn)
    return f"{week_month(week)} has {place_in_month(week).length} weeks for {areas_words(len(plan.areas))}"


def _own_week(turn: Turn) -> date:
    """The week in whose place in the month a turn stands; another than its own if it was moved."""
    return turn.week + (turn.content - turn.number) * WEEK


def week_month(week: date) -> str:
    """The month a week belongs to, by its name."""
    place = place_in_month(week)
    return f"{week.replace(year=place.year, month=place.month, day=1):%B}"


def _skipped(_plan: Plan, _turn: Turn) -> str:
    return "This week is left free."


def _away(plan: Plan, turn: Turn) -> str:
    if turn.by_need:
        return (
            "You are away all week, so the week does not count. "
            "The next one goes to the area that needs it most then."
        )
    names = [isolated(plan.areas[place - 1].name) for place in turn.areas]
    waiting = f"{joined(names)} keeps its turn for" if names else "The turn waits for"
    return f"You are away all week, so the week does not count. {waiting} the next one."


def _before(plan: Plan, _turn: Turn) -> str:
    return f"The areas begin in the week of {short_date(plan.rotation.first_week)}."


_SENTENCES: dict[TurnKind, Callable[[Plan, Turn], str]] = {
    "turn": _turn,
    "shared": _shared,
    "catch-up": _catch_up,
    "skipped": _skipped,
    "away": _away,
    "before": _before,
}


def _moved(plan: Plan, turn: Turn) -> Iterator[str]:
    if turn.content == turn.number:
        return
    if plan.rotation.mode is Mode.MONTH:
        yield f"Moved here from the week of {short_date(_own_week(turn))}."
    else:
        yield "Moved here from another week."


def why_text(opening: Opening) -> str:
    """By need, what weighs most in the need of the week's area; empty where that does not choose it."""
    turn, plan = opening.turn, opening.plan
    if not turn.by_need or turn.waits or plan.task_list(turn.number) is TaskList.DECLUTTER:
        return ""
    (one,) = opening.areas
    return f"{isolated(one.area.name)}: {_need_words(opening)}."


def _need_words(opening: Opening) -> str:
    if opening.waited is not None:
        return f"no turn for {weeks_words(opening.waited)}"
    if opening.why is None:
        return "nothing is on its list yet"
    return f"“{isolated(opening.why.task.title)}” {_over_words(opening.why)}"


def _over_words(weight: Weight) -> str:
    if not weight.done:
        return "has not been finished yet"
    if weight.over == 0:
        return "is due now"
    days = abs(weight.over)
    length = weeks_words(days // WEEK_OVER) if days >= WEEK_OVER else days_words(days)
    return f"is {length} over" if weight.over > 0 else f"is due in {length}"


NO_TURN = (
    "No turn in the coming year, since other areas need theirs more. Give it a week, or let the areas follow "
    "one after the other."
)


def remarks(found: Coverage, minutes_a_week: int) -> Iterator[str]:
    """What the table “is it enough” points out about an area's tasks."""
    for task in found.too_long:
        yield (
            f"“{isolated(task.title)}” takes {minutes_words(task.minutes)}, more than the {minutes_a_week} "
            "of a week: it stands alone in its week."
        )
    for task in found.too_rare:
        yield _too_rare(task, found.weeks)


def _too_rare(task: DetailTask, weeks: int) -> str:
    source = f" ({isolated(task.source)})" if task.source else ""
    return (
        f"“{isolated(task.title)}” is asked for every {task.every_days} days{source}; here it comes about "
        f"every {weeks_words(weeks)}. A weekday job or a step of its own can carry it."
    )
