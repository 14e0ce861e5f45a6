"""Passes through the areas' lists: a fold over the weeks and the dates on which tasks were done (home rules).

Nothing here is stored as truth. A `Passes` is the fold's working value after the close of some week; it can
be written as JSON and kept, and thrown away at any time. One that is kept must be older than every mark and
plan that may still change.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import date
from typing import TYPE_CHECKING

from coach.areas.rules.model import TaskList
from coach.areas.rules.need import History, heaviest, is_starving, longest_waiting, neediest
from coach.areas.rules.packing import LeftTask, fitting, left_in_pass, total
from coach.areas.rules.plan import Way, plan_for
from coach.areas.rules.rotation import Turn, never, number_of, turn_of, turns
from coach.errors import OutOfRange
from coach.ground.weeks import last_day, week_of
from coach.ground.wording import full_date
from coach.progress.days import ONE_DAY

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping

    from coach.areas.rules.model import Area
    from coach.areas.rules.need import Weight
    from coach.areas.rules.plan import Plan
    from coach.areas.rules.rotation import Away

    Done = Mapping[date, Collection[str]]


@dataclass(frozen=True, slots=True)
class Book:
    """Everything the passes follow from.

    Attributes:
        plans: At least one, by the date they were made on.
        done: The ids of the tasks marked done on each date.
        away: Whether a date was paused or lapsed, or is going to be (or never happened in the zone).
    """

    plans: tuple[Plan, ...]
    done: Done
    away: Away = never


@dataclass(slots=True)
class Passes:
    """Where the passes of all areas stand after the close of the week that ends on `through`.

    Attributes:
        number: The number of the next week's turn.
        start: The start date of the rotation that this number counts from.
        in_pass: The ids of the tasks done in their area's pass.
        last_done: By task id, the latest date it was done on.
        begun: The areas' start date.
        last_turn: By area id, the number of the latest week in which it had its turn, of those that counted.
        counted: How many weeks have counted.
    """

    through: date
    number: int
    start: date
    begun: date
    in_pass: set[str] = field(default_factory=set)
    last_done: dict[str, date] = field(default_factory=dict)
    last_turn: dict[str, int] = field(default_factory=dict)
    counted: int = 0

    def copy(self) -> Passes:
        """The same, to fold further while this one is kept."""
        return replace(
            self,
            in_pass=set(self.in_pass),
            last_done=dict(self.last_done),
            last_turn=dict(self.last_turn),
        )

    def history(self) -> History:
        """What the areas' need follows from."""
        return History(self.begun, self.last_done, self.last_turn, self.counted)


@dataclass(frozen=True, slots=True)
class AreaWeek:
    """One area's lists for its week, as the week opens.

    Attributes:
        minutes: The area's minutes this week.
        which: Which of its lists is worked on.
        new_pass: Whether a new pass starts.
        listed: What fits, in order: the week's list.
        if_time: The rest that may be done this week.
        held_back: Tasks left out because they were done not long ago, with the date from which they may be.
    """

    area: Area
    minutes: int
    which: TaskList
    new_pass: bool
    listed: tuple[LeftTask, ...]
    if_time: tuple[LeftTask, ...]
    held_back: tuple[LeftTask, ...]

    @property
    def left(self) -> tuple[LeftTask, ...]:
        """All that may be done this week, in the area's order."""
        return self.listed + self.if_time


@dataclass(frozen=True, slots=True)
class Opening:
    """A week as it opens: its plan, whose turn it is, and the lists.

    Attributes:
        week: Its first day.
        areas: The areas of the turn; in a catch-up week the one it is for; in a free week none.
        why: By need, what weighs most in the need of the week's area.
        waited: By need, the weeks since that area's latest turn, if it has waited too long for any other.
    """

    week: date
    plan: Plan
    turn: Turn
    areas: tuple[AreaWeek, ...]
    why: Weight | None = None
    waited: int | None = None

    @property
    def last_day(self) -> date:
        """The week's last day."""
        return last_day(self.week)


def begin(book: Book) -> Passes:
    """Where the passes stand before the week of the first plan's start date."""
    rotation = book.plans[0].rotation
    passes = Passes(date.min, 0, rotation.start, book.plans[0].since)
    _note_done(passes, book.done, rotation.first_week - ONE_DAY)
    return passes


def open_on(passes: Passes, book: Book, day: date) -> Opening:
    """Close every week before the one that holds a day, and open that one.

    Args:
        passes: Taken further to the close of the week before; copy it first if it is kept.
        book: Plans, marks and absences. Marks later than the week's opening change nothing.
        day: After `passes.through`.

    Raises:
        OutOfRange: The day lies before the weeks that are left to open.
    """
    if day <= passes.through:
        raise OutOfRange(
            f"The areas' turns begin on {full_date(passes.through + ONE_DAY)}, after {full_date(day)}."
        )
    while (opening := open_week(passes, book)).last_day < day:
        close_week(passes, opening, book)
    return opening


def open_week(passes: Passes, book: Book) -> Opening:
    """Open the first week not yet closed; the passes stay as they are."""
    plan = plan_for(book.plans, passes.through + ONE_DAY)
    week = week_of(passes.through + ONE_DAY, plan.rotation.starts)
    known = plan.rotation.start == passes.start
    number = passes.number if known else number_of(plan.rotation, week, book.away)
    turn = turn_of(plan.rotation, week, number, book.away)
    if turn.by_need:
        return _open_by_need(passes, plan, turn)
    return Opening(week, plan, turn, tuple(_area_weeks(passes, plan, turn)))


def _open_by_need(passes: Passes, plan: Plan, turn: Turn) -> Opening:
    """The week of the area that was given it, or else of the one that needs it most."""
    history = passes.history()
    place = plan.given_to(turn.number) or _whose(plan, turn, history)
    turn = replace(turn, areas=(place,), minutes=(plan.rotation.minutes_a_week,))
    why = heaviest(plan.areas[place - 1], history, turn.week)
    waited = history.waited(plan.areas, place) if is_starving(plan.areas, history, place) else None
    return Opening(turn.week, plan, turn, tuple(_area_weeks(passes, plan, turn)), why, waited)


def _whose(plan: Plan, turn: Turn, history: History) -> int:
    if plan.task_list(turn.number) is TaskList.DECLUTTER:
        # Decluttering leaves the need as it is, so that a round serves all only if they take turns.
        return longest_waiting(plan.areas, history, range(1, len(plan.areas) + 1))
    return neediest(plan.areas, history, turn.week)


def close_week(passes: Passes, opening: Opening, book: Book) -> None:
    """Take what was done in a week into the passes, and go on to the next."""
    for area_week in opening.areas:
        if area_week.new_pass:
            passes.in_pass.difference_update(task.id for task in area_week.area.tasks(area_week.which))
    _note_done(passes, book.done, opening.last_day)
    if opening.turn.number >= 0 and not opening.turn.waits:
        _note_turns(passes, opening)
    passes.start = opening.plan.rotation.start
    passes.number = opening.turn.number + (not opening.turn.waits)


def _note_turns(passes: Passes, opening: Opening) -> None:
    """Note who had a turn in a week that counts, and stand those in line that have had none yet."""
    areas, history = opening.plan.areas, passes.history()
    for place, area in enumerate(areas, 1):
        passes.last_turn.setdefault(area.id, history.latest_turn(areas, place))
    passes.last_turn.update((area_week.area.id, passes.counted) for area_week in opening.areas)
    passes.counted += 1


def _note_done(passes: Passes, done: Done, through: date) -> None:
    """Note what was done after the latest close and up to a date."""
    days = (through - passes.through).days
    if days < len(done):
        dates: list[date] = [day for ahead in range(days) if (day := through - ahead * ONE_DAY) in done]
    else:
        dates = [day for day in done if passes.through < day <= through]
    for day in sorted(dates):
        passes.in_pass.update(done[day])
        passes.last_done.update(dict.fromkeys(done[day], day))
    passes.through = through


def _area_weeks(passes: Passes, plan: Plan, turn: Turn) -> Iterator[AreaWeek]:
    if turn.catch_up:
        yield _area_week(passes, plan, turn, _most_left(passes, plan, turn), plan.rotation.minutes_a_week)
    for position, minutes in zip(turn.areas, turn.minutes, strict=True):
        yield _area_week(passes, plan, turn, plan.areas[position - 1], minutes)


def _most_left(passes: Passes, plan: Plan, turn: Turn) -> Area:
    """The area with the most minutes left in its pass; of equal ones the first in order."""

    def minutes_left(area: Area) -> int:
        tasks = area.tasks(plan.list_of(area, turn.number, passes.last_done))
        left = left_in_pass(tasks, passes.in_pass, passes.last_done)
        return total(one for one in left if one.is_ready(last_day(turn.week)))

    return max(plan.areas, key=minutes_left)


def _area_week(passes: Passes, plan: Plan, turn: Turn, area: Area, minutes: int) -> AreaWeek:
    which = plan.list_of(area, turn.number, passes.last_done)
    tasks = area.tasks(which)
    left = left_in_pass(tasks, passes.in_pass, passes.last_done)
    new_pass = len(left) < len(tasks) and not any(_is_offered(one, plan, turn) for one in left)
    if new_pass:
        left = left_in_pass(tasks, (), passes.last_done)
    ready = tuple(one for one in left if one.is_ready(last_day(turn.week)))
    listed = fitting([one.task.minutes for one in ready], minutes)
    held_back = tuple(one for one in left if not one.is_ready(last_day(turn.week)))
    return AreaWeek(area, minutes, which, new_pass, ready[:listed], ready[listed:], held_back)


def _is_offered(left: LeftTask, plan: Plan, turn: Turn) -> bool:
    return left.is_ready(last_day(turn.week)) and left.task.minutes <= plan.offered_minutes()


def spot_task(opening: Opening, done: Done, day: date) -> LeftTask | None:
    """The spot task of a day: the first short one not done in the pass before that day, and ready by then.

    So it stays the day's task once it is marked done.

    Args:
        opening: The week that holds the day.
        done: The ids of the tasks marked done on each date.
        day: The date asked about.

    Returns:
        None where the household does not work so, the week is free, or no short task is left.
    """
    if opening.plan.way is Way.LIST:
        return None
    earlier = {
        task
        for ahead in range((day - opening.week).days)
        for task in done.get(opening.week + ahead * ONE_DAY, ())
    }
    for area_week in opening.areas:
        for one in area_week.left:
            short = one.task.minutes <= opening.plan.spot_minutes
            if short and one.task.id not in earlier and one.is_ready(day):
                return one
    return None


def turns_ahead(opening: Opening, weeks: int, away: Away = never) -> tuple[Turn, ...]:
    """The turns of so many weeks from an opened one on, as they will be if nothing is changed."""
    turn = opening.turn
    return tuple(turns(opening.plan.rotation, turn.week, turn.number, weeks, away))


def done_in_week(opening: Opening, done: Done) -> dict[str, date]:
    """The tasks marked done in a week, each with the latest date."""
    days = (opening.week + ahead * ONE_DAY for ahead in range(7))
    return {task: day for day in days for task in done.get(day, ())}
