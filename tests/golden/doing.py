"""What a household does, line by line of its diary, through the use cases and by the clock."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime, time
from typing import TYPE_CHECKING, cast
from zoneinfo import ZoneInfo

from coach.areas import dividing as area_division
from coach.areas import overview as areas
from coach.areas import setup as area_setup
from coach.areas import turns as area_turns
from coach.areas import week as area_week
from coach.desk import dues, overview, todos
from coach.desk.dues import TypedDue
from coach.desk.overview import desk
from coach.ground.writing import save_standings
from coach.habits import pauses
from coach.habits.day import today
from coach.household import places, start
from coach.kitchen import dinners as dinner
from coach.kitchen import shopping
from coach.kitchen.dinners import TypedDinner
from coach.progress.log import MARKING
from coach.week import balance as balancing
from coach.week import days as week
from coach.week import jobs as week_jobs
from coach.week import moves as week_moves
from habits import marking
from habits.house import HOME

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from coach.areas.answers import ModeName, WeekdayName
    from coach.ground.ports import Context
    from coach.habits.answers import MarkName
    from coach.progress.log import Row
    from golden.diary import Diary, Doing

    Verb = Callable[["Living", date, str], object]

ZONE = "Europe/Lisbon"
MORNING, LOOK, EVENING, LATE = time(7), time(7, 30), time(20), time(21)
MARKS: dict[str, MarkName | None] = {
    "misses": "missed",
    "small": "small",
    "excuses": "excused",
    "leaves": None,
}


@dataclass(slots=True)
class Living:
    """A household that lives its diary.

    Attributes:
        mode: How its areas follow one another.
        clock: A list of one instant, the present one.
        told: The log of the same days lived before: the evenings' marks are taken from it, which is quick.
        balances: In words, what the proposals brought that were accepted, by date.
    """

    context: Context
    diary: Diary
    mode: ModeName
    clock: list[datetime]
    told: Sequence[Row] | None = None
    balances: dict[date, str] = field(default_factory=dict)

    def at(self, day: date, hour: time) -> None:
        """Move the clock."""
        self.clock[0] = instant(day, hour)

    def morning(self, day: date) -> None:
        """What is planned on a day."""
        self.at(day, MORNING)
        for doing in self.diary.on(day):
            if doing.what in PLANNING:
                PLANNING[doing.what](self, day, doing.about)

    def evening(self, day: date) -> None:
        """What is done on a day: first the list is marked, then the rest."""
        self.at(day, EVENING)
        doings = self.diary.on(day)
        if self.told is None:
            self._mark(day, [doing for doing in doings if doing.what in MARKS])
        else:
            self._mark_as_told([row for row in self.told if row.date == day and row.what in MARKING])
        for doing in doings:
            if doing.what not in PLANNING | MARKS:
                WORKING[doing.what](self, day, doing.about)

    def _mark(self, day: date, exceptions: Sequence[Doing]) -> None:
        said = {step: MARKS[one.what] for one in exceptions for step in one.about.split(", ")}
        listed = [line.step for line in today(self.context, HOME).checklist]
        assert said.keys() <= {*listed, "*"}, (day, said)
        for step in listed:
            mark = said.get(step, said.get("*", "kept"))
            if mark is not None:
                marking.mark(self.context, HOME, day, step, mark)

    def _mark_as_told(self, rows: Sequence[Row]) -> None:
        with self.context.store.writing(HOME) as writing:
            writing.append(rows, self.clock[0])
            save_standings(self.context, writing)

    def rows(self) -> Sequence[Row]:
        """The log as it stands."""
        with self.context.store.reading(HOME) as reading:
            return reading.rows()

    def task(self, title: str) -> str:
        """The id of an area's task."""
        found = areas.all_areas(self.context, HOME).areas
        return next(task.task for area in found for task in area.detail if task.title == title)

    def area(self, name: str) -> str:
        """The id of an area."""
        return next(one.area for one in areas.all_areas(self.context, HOME).areas if one.name == name)

    def todo(self, title: str) -> str:
        """The id of a to-do."""
        found = overview.todos(self.context, HOME)
        errands = [todo for place in found.errands for todo in place.todos]
        return next(todo.id for todo in (*found.open, *found.put_off, *errands) if todo.title == title)


def instant(day: date, hour: time) -> datetime:
    """An instant by the household's clock."""
    return datetime.combine(day, hour, ZoneInfo(ZONE))


def _start(living: Living, _: date, about: str) -> None:
    step, zone = about.split(", ")
    start.start(living.context, HOME, step, zone)


def _open(living: Living, _: date, about: str) -> None:
    for page in about.split(", "):
        places.open_early(living.context, HOME, page)


def _available(living: Living, _: date, about: str) -> None:
    said = (words.split() for words in about.split(", "))
    week.set_available(living.context, HOME, {weekday: int(minutes) for weekday, minutes in said})


def _divide(living: Living, _day: date, _: str) -> None:
    area_setup.put_areas(living.context, HOME, living.diary.areas)
    area_turns.arrange(living.context, HOME, {"mode": living.mode})


def _dinner(living: Living, _: date, about: str) -> None:
    on, at, dish = about.split()
    dinner.put(living.context, HOME, date.fromisoformat(on), TypedDinner(living.diary.dishes[dish], at))


def _at_home(living: Living, _: date, about: str) -> None:
    found = shopping.shopping(living.context, HOME)
    (item,) = (one for one in found.to_buy if one.text == about)
    shopping.tick(living.context, HOME, item.key, "at-home")


def _errand(living: Living, _: date, about: str) -> None:
    place, title = about.split(": ")
    todos.add(living.context, HOME, title, "errand", place)


def _pause(living: Living, _: date, about: str) -> None:
    pauses.pause(living.context, HOME, *_dates(about))


def _balance(living: Living, day: date, _: str) -> None:
    proposal = balancing.balance(living.context, HOME)
    balancing.accept(living.context, HOME, None, {move.step: move.to for move in proposal.moves})
    moves = (f"{move.step} {move.on:%a} to {move.to:%a}" for move in proposal.moves)
    living.balances[day] = f"{proposal.text} {', '.join(moves)}"


def _move(living: Living, _: date, about: str) -> None:
    step, dates = about.split()
    week_moves.move(living.context, HOME, step, *_dates(dates))


def _area_days(living: Living, _: date, about: str) -> None:
    area_turns.arrange(living.context, HOME, {"area_days": cast("list[WeekdayName]", about.split())})


def _split(living: Living, _: date, about: str) -> None:
    area, new = about.split(": ")
    name, room = new.split(" = ")
    area_division.split_area(living.context, HOME, living.area(area), name, [room])


def _rename(living: Living, _: date, about: str) -> None:
    area, name = about.split(": ")
    area_division.change_area(living.context, HOME, living.area(area), {"name": name})


def _dates(about: str) -> Iterator[date]:
    return map(date.fromisoformat, about.split(".."))


PLANNING: dict[str, Verb] = {
    "starts": _start,
    "opens": _open,
    "available": _available,
    "divides": _divide,
    "dinner": _dinner,
    "no-dinner": lambda living, _, about: dinner.remove(living.context, HOME, date.fromisoformat(about)),
    "at-home": _at_home,
    "due": lambda living, _, about: dues.add(living.context, HOME, due_of(about)),
    "to-do": lambda living, _, about: todos.add(living.context, HOME, about),
    "put-off": lambda living, _, about: todos.add(living.context, HOME, about, "put-off"),
    "errand": _errand,
    "picks": lambda living, _, about: todos.pick(living.context, HOME, living.todo(about)),
    "pauses": _pause,
    "resumes": lambda living, _, about: pauses.resume(living.context, HOME, about or None),  # type: ignore[arg-type]  # all or one
    "moves": _move,
    "balances": _balance,
    "area-days": _area_days,
    "skips": lambda living, _, about: area_turns.skip(living.context, HOME, date.fromisoformat(about)),
    "declutters": lambda living, _, about: area_turns.declutter(living.context, HOME, int(about)),
    "works": lambda living, _, about: area_turns.arrange(living.context, HOME, {"way": about}),  # type: ignore[typeddict-item]  # list, spot or both
    "splits": _split,
    "renames": _rename,
}


def due_of(about: str) -> TypedDue:
    """A due as the diary writes it: name, date, rule, days needed, amount, time."""
    return TypedDue(*(part.strip() for part in about.split("|")))


def _does(living: Living, day: date, about: str) -> None:
    """Do tasks from the top of the week's list, and of what comes if there is time."""
    shown = area_week.this_week(living.context, HOME).areas
    first, _, beyond = about.partition(" + ")
    listed = [task.task for area in shown for task in area.listed if not task.done]
    if_time = [task.task for area in shown for task in area.if_time if not task.done]
    count = len(listed) if first == "all" else int(first)
    # The counts were written down for one area after the other; by need there may be less to do.
    assert count <= len(listed) or living.mode == "need", day
    for task in (*listed[:count], *if_time[: int(beyond or 0)]):
        area_week.mark_task(living.context, HOME, day, task)


def _did(living: Living, _: date, about: str) -> None:
    on, title = about.split(maxsplit=1)
    area_week.mark_task(living.context, HOME, date.fromisoformat(on), living.task(title))


def _tick(living: Living, _day: date, about: str) -> None:
    done, _, later = about.partition(" later ")
    step, *lines = done.split()
    for line in lines:
        week_jobs.tick(living.context, HOME, step, line, "done")
    for left in later.split():
        week_jobs.tick(living.context, HOME, step, left, "later")


def _take_out(living: Living, _: date, about: str) -> None:
    on, number = about.split()
    dinner.leave(living.context, HOME, date.fromisoformat(on), int(number), left=True)


def _settle(living: Living, _: date, about: str) -> None:
    name, on = about.rsplit(maxsplit=1)
    due = next(due.id for due in desk(living.context, HOME).dues if due.name == name)
    dues.see_to(living.context, HOME, due, date.fromisoformat(on))


WORKING: dict[str, Verb] = {
    "does": _does,
    "did": _did,
    "ticks": _tick,
    "takes-out": _take_out,
    "settles": _settle,
    "finishes": lambda living, _, about: todos.finish(living.context, HOME, living.todo(about)),
}
