"""A house whose lessons know some kinds of rooms: day 1 is Monday 4 January 2027."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.areas import overview, setup, turns, week
from coach.areas.passes import area_minutes
from coach.course.rooms import RoomKind, RoomTask, Use
from coach.ground.ports import Context
from coach.ground.situation import Situation, situation
from coach.store.memory import MemoryStore
from habits.house import HOME, HOT, House, Shelf
from progress.living import a_course, a_step, on

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from datetime import date

    from coach.areas.answers import Areas, AreaWeekView
    from coach.areas.passes import AreaNow
    from coach.course.model import Course
    from coach.course.starters import Starter

COURSE = a_course(
    a_step("bed", minutes=2),
    a_step("area-hour", repeats="FREQ=WEEKLY;BYDAY=TH", waits=False, minutes=60),
)


def _tasks(room: str, *minutes: int) -> tuple[RoomTask, ...]:
    return tuple(RoomTask(f"{room} {number}", taken) for number, taken in enumerate(minutes, 1))


ROOMS = (
    RoomKind(
        "kitchen",
        "Kitchen",
        ("kitchen", "galley"),
        (RoomTask("Oven", 40, caution=HOT.key), *_tasks("Shelf", 20, 10, 20)),
        _tasks("Mugs", 10, 10),
    ),
    RoomKind("bath", "Bath", ("bath", "shower"), _tasks("Tiles", 20, 10), _tasks("Bottles", 15), use=Use.WET),
    RoomKind("toilet", "Toilet", ("toilet",), _tasks("Bowl", 5, 5), use=Use.WET),
    RoomKind(
        "bedroom", "Bedroom", ("bedroom",), (RoomTask("Sheets", 10, 14, "A source"), *_tasks("Dust", 25, 30))
    ),
)
WHOLE = ("Kitchen", "Bath", "Bedroom")


class AreaShelf(Shelf):
    """A shelf with starter lists."""

    def rooms(self) -> Sequence[RoomKind]:
        return ROOMS

    def starters(self) -> Sequence[Starter]:
        return ()


class AreaHouse(House):
    """A house that has started, with the rooms of `WHOLE` set up unless others are named, an hour each."""

    def __init__(
        self,
        rooms: Sequence[str] = WHOLE,
        areas: int | None = None,
        *,
        minutes: int = 60,
        course: Course = COURSE,
    ) -> None:
        super().__init__()
        self.shelf = AreaShelf(course)
        self.begun()
        if rooms:
            setup.set_up(self.context, HOME, rooms, areas or len(rooms), minutes)

    @property
    def areas(self) -> Areas:
        """The areas as they are now."""
        return overview.all_areas(self.context, HOME)

    @property
    def week(self) -> AreaWeekView:
        """This week's area."""
        return week.this_week(self.context, HOME)

    @property
    def names(self) -> list[str]:
        """The areas' names."""
        return [area.name for area in self.areas.areas]

    @property
    def listed(self) -> list[str]:
        """The titles on this week's list."""
        return [task.title for area in self.week.areas for task in area.listed]

    @property
    def turns(self) -> list[str]:
        """Who has a turn in the weeks to come, or what the week is."""
        weeks = turns.rotation(self.context, HOME).weeks
        return ["+".join(share.name for share in one.areas) or one.kind for one in weeks]

    def task(self, title: str) -> str:
        """The id of a task."""
        every = (task for area in self.areas.areas for task in (*area.detail, *area.declutter))
        return next(task.task for task in every if task.title == title)

    def titles(self, area: str) -> list[str]:
        """The titles of an area's detail tasks."""
        return [task.title for task in overview.one_area(self.context, HOME, area).detail]

    def done(self, title: str, day: int) -> AreaWeekView:
        """Mark a task done on a day."""
        return week.mark_task(self.context, HOME, on(day), self.task(title))

    def minutes(self, week: date) -> dict[date, int]:
        """The area's minutes by date for a week."""
        with self.store.reading(HOME) as reading:
            return area_minutes(situation(self.context, reading), week)

    def live(self, days: int) -> None:
        """Keep every step of so many days, from today on, and wake up on the day after."""
        for _ in range(days):
            day = (self.today - on(1)).days + 1
            self.mark(day, "bed")
            self.at(day + 1)

    def looked_at(self, look: Callable[[Situation], AreaNow | None]) -> AreaNow | None:
        """What a look into the plan gives."""
        return look_into(self.context, look)

    def folded_from_nothing(self) -> Context:
        """The same household in a store that has kept no fold and no standing."""
        store = MemoryStore()
        with self.store.reading(HOME) as reading, store.writing(HOME) as writing:
            household = reading.household()
            assert household is not None
            writing.create(household)
            for version in reading.courses():
                writing.add_course(version, reading.course_content(version.digest))
            writing.append(reading.rows(), self.now)
            writing.put_plan(reading.home.plan, self.now)
        return Context(store, self.shelf, lambda: self.now)


def look_into(context: Context, look: Callable[[Situation], AreaNow | None]) -> AreaNow | None:
    """What a look into the plan of a household gives."""
    with context.store.reading(HOME) as reading:
        return look(situation(context, reading))
