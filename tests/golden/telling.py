"""What a household saw, in lines a person can read against the home rules."""

from __future__ import annotations

from itertools import chain
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator
    from datetime import date

    from coach.areas.answers import AreaTurn, AreaWeekView, ModeName, WeekTask
    from coach.around.answers import KitchenAndDesk
    from coach.desk.answers import DeskToday, DueDateView, PutOffToday, ToDoView
    from coach.kitchen.answers import FrozenView, Move, Shopping
    from coach.week.answers import Job, WeekDay
    from golden.seeing import Seen, SeenDay, SeenWeek

WEEKS = """\
# The area's weeks, as they stand on their last evening: week, first day, what it is | why, where that needs a
# word | for each area its minutes, the week's list, what comes if there is time, what is held back, what was
# done and when, and before which task it stops
"""
DAYS = """\
# The days at half past 7 in the morning: date, minutes due of those available, what they are for | overload
# in words | what can wait, the longest first | what stays open from an earlier day | lines left at the last
# time of a job | the spot task | what balance brought
"""
DINNERS = """\
# The dinners: date, time, dish with the minutes it cooks | for each frozen item the days it thaws in the
# refrigerator and the minutes in cold water, with the dates between which it has to leave the freezer, and
# when it was taken out | on which mornings the day said to move it today or tomorrow, or that it is late
"""
DESK = """\
# The desk on mornings on which something is listed (at half past 7): what is due on that date or was before |
# what it is of the desk's days, the next desk-work day, each due that is listed besides | what is put off |
# errands by place | what there is to buy for the coming week
"""


def weeks_told(seen: Seen) -> str:
    """The weeks, one line each."""
    return _file(WEEKS, (_week(week) for week in seen.weeks))


def days_told(seen: Seen) -> str:
    """The days, one line each."""
    return _file(DAYS, (_day(day) for day in seen.days))


def desk_told(seen: Seen) -> str:
    """The mornings of the desk, one line each."""
    return _file(DESK, (line for day in seen.days if (line := _desk(day))))


def dinners_told(seen: Seen) -> str:
    """The dinners, one line each."""
    return _file(DINNERS, chain.from_iterable(_dinner(seen, day) for day in seen.days))


def _file(legend: str, lines: Iterable[str]) -> str:
    return f"{legend}\n" + "".join(f"{line}\n" for line in lines)


def _joined(parts: Iterable[str]) -> str:
    return " | ".join(part for part in parts if part)


def _named(name: str, parts: Iterable[str]) -> str:
    said = ", ".join(parts)
    return f"{name} {said}" if said else ""


def short(day: date) -> str:
    """A date within a line."""
    return f"{day:%a} {day.day} {day:%b}"


def _week(week: SeenWeek) -> str:
    area = week.area
    declutter = ", declutter" if area.list == "declutter" else ""
    away = f", away {week.away} days" if week.away else ""
    return _joined(
        [
            f"{area.name} {area.week:%d %b} {area.kind}{declutter}{away}",
            "" if area.kind == "turn" else area.text,
            *(_area(one) for one in area.areas),
            _named("told later", week.late),
        ]
    )


def _area(area: AreaTurn) -> str:
    offered = (*area.listed, *area.if_time)
    done = [task for task in offered if task.done]
    left = next((f"stops before {task.title}" for task in offered if not task.done), "nothing left")
    parts = [
        _named("list", map(_task, area.listed)),
        _named("if time", map(_task, area.if_time)),
        _named(
            "held back", (f"{task.title} until {short(task.ready)}" for task in area.held_back if task.ready)
        ),
        _named("done", (f"{task.title} {task.done:%a}" for task in done)),
        left,
    ]
    new_pass = ", new pass" if area.new_pass else ""
    return f"{area.name} {area.minutes} min{new_pass}: " + "; ".join(part for part in parts if part)


def _task(task: WeekTask) -> str:
    return f"{task.title} {task.minutes}"


def _day(day: SeenDay) -> str:
    load, head = day.around.load, f"{day.date} {day.date:%a}"
    assert load is not None, day.date
    if load.rest:
        return f"{head}  {load.rest}"
    return _joined(
        [
            f"{head}  {load.minutes:3} of {load.available}: {', '.join(_minutes(load))}",
            load.overload_text or "",
            _named("can wait", load.can_wait),
            _named("open", (f"{step.step} since {step.since:%a}" for step in load.earlier)),
            *map(_left, day.around.jobs),
            _spot(day.around.area),
            day.balance or "",
        ]
    )


def _minutes(load: WeekDay) -> Iterator[str]:
    habits = len(load.habits)
    yield f"{habits} habit{'s' * (habits != 1)} {load.habit_minutes}"
    yield from (f"{job.step} {job.minutes}" for job in load.jobs)
    if load.area_minutes:
        yield f"area {load.area_minutes}"


def _left(job: Job) -> str:
    left = [f"{line.title} on {short(line.left_on)}" for line in job.lines if line.left_on]
    return _named(f"left of {job.step}:", left)


def _spot(area: AreaWeekView | None) -> str:
    return f"spot task {area.spot.title}" if area and area.spot else ""


def _desk(day: SeenDay) -> str:
    kitchen = kitchen_of(day)
    parts = [
        *(_desk_work(kitchen.desk) if kitchen.desk else ()),
        _put_off(kitchen.put_off) if kitchen.put_off else "",
        *(_named(f"errands, {place.place}:", _titles(place.todos)) for place in kitchen.errands or ()),
        _to_buy(day.shopping) if day.shopping else "",
    ]
    return _joined([f"{day.date} {day.date:%a}", *parts]) if any(parts) else ""


def _desk_work(desk: DeskToday) -> Iterator[str]:
    """What is due today or late, and what desk work lists besides."""
    yield _named("due:", map(_due, desk.due))
    if desk.desk_day or desk.dues:
        what = "desk work" if desk.desk_day else "cannot wait for desk work"
        following = f" (next {short(desk.next_desk_day)})" if desk.next_desk_day else ""
        yield f"{what}{following}: {', '.join(map(_due, desk.dues)) or 'nothing'}"


def _put_off(put_off: PutOffToday) -> str:
    others = f" ({_named('or', _titles(put_off.others))})" if put_off.others else ""
    return f"put off: {put_off.picked.title if put_off.picked else 'nothing'}{others}"


def _titles(todos: Iterable[ToDoView]) -> Iterator[str]:
    return (todo.title for todo in todos)


def _to_buy(shopping: Shopping) -> str:
    return f"to buy: {', '.join(item.text for item in shopping.to_buy) or 'nothing'}"


def _due(due: DueDateView) -> str:
    amount = f" ({due.amount})" if due.amount else ""
    return f"{due.name}{amount}, {due.text[0].lower()}{due.text[1:]}"


def _dinner(seen: Seen, day: SeenDay) -> Iterator[str]:
    """A date's dinner; before it those planned for it first, if the mornings said anything of them."""
    dinner = kitchen_of(day).dinner.dinner
    said = [(move, words) for move, words in _said(seen) if move.date == day.date]
    head = f"{day.date} {day.date:%a}"
    for dish in dict.fromkeys(move.dish for move, _ in said):
        if dinner is None or dish != dinner.dish:
            yield _joined(
                [f"{head} ----- {dish}, changed", *(words for move, words in said if move.dish == dish)]
            )
    if dinner is not None:
        words = (words for move, words in said if move.dish == dinner.dish)
        time_and_dish = f"{head} {dinner.time} {dinner.dish}, {dinner.cooking} min"
        yield _joined([time_and_dish, *map(_frozen, dinner.frozen), *words])


def kitchen_of(day: SeenDay) -> KitchenAndDesk:
    """The kitchen and the desk of a day; they are open from the first."""
    assert day.around.kitchen is not None, day.date
    return day.around.kitchen


def _frozen(item: FrozenView) -> str:
    water = item.cold_water_by
    out = f", out {short(item.left_on)}" if item.left_on else ""
    return (
        f"{item.name} {item.weight} {item.kind}: {item.refrigerator_days} d, into the refrigerator from "
        f"{short(item.not_before)} to {short(item.refrigerator_by)}; {item.cold_water_minutes} min, into "
        f"cold water by {short(water)} {water:%H:%M}{out}"
    )


def _said(seen: Seen) -> Iterator[tuple[Move, str]]:
    """What every morning said of what has to leave the freezer; in the service's words when it is late."""
    for day in seen.days:
        moves = kitchen_of(day).moves
        for when, some in (("today", moves.today), ("tomorrow", moves.tomorrow)):
            for move in some:
                left = ", is out" if move.item.left_on else ""
                yield move, f"{short(day.date)}: {move.item.name} {when}{left}"
        for move in moves.behind:
            item = move.item
            yield move, " ".join([f"{short(day.date)}: {item.name}.", item.text, *item.instead])


TOLD: dict[str, tuple[ModeName, Callable[[Seen], str]]] = {
    "weeks.txt": ("continuous", weeks_told),
    "days.txt": ("continuous", days_told),
    "dinners.txt": ("continuous", dinners_told),
    "desk.txt": ("continuous", desk_told),
    "weeks-by-month.txt": ("month", weeks_told),
    "weeks-by-need.txt": ("need", weeks_told),
}
"""The expected files, each with how the areas go in it and what it tells."""
