"""What stands around today's habits, for the page and for JSON alike."""

from dataclasses import dataclass

from coach.areas.answers import AreaWeekView
from coach.desk.answers import DeskToday, ErrandPlace, PutOffToday
from coach.kitchen.answers import DinnerDay, Favourite, Moves
from coach.week.answers import Job, WeekDay


@dataclass(frozen=True, slots=True)
class KitchenAndDesk:
    """What today's page shows of dinner, dues, desk work, put-off jobs and errands.

    Attributes:
        dinner: Today's date with its dinner, if there is one.
        asks: Whether today has no dinner yet and the household is there to decide it.
        favourites: Dishes to choose from while it asks.
        moves: What has to leave the freezer today and tomorrow, and what it is too late for.
        desk: On a desk-work day, when something is due, or when it cannot wait for one.
        put_off: On a desk-work day.
        errands: On the day one goes out, by place; none on other days.
    """

    dinner: DinnerDay
    asks: bool
    favourites: tuple[Favourite, ...]
    moves: Moves
    desk: DeskToday | None
    put_off: PutOffToday | None
    errands: tuple[ErrandPlace, ...] | None


@dataclass(frozen=True, slots=True)
class Around:
    """What stands around today's habits.

    Attributes:
        open: The pages of the home plan that are open: `week`, `areas`, `dinner`, `desk`.
        area: This week's area, once the home has been divided.
        jobs: The weekday jobs on today's checklist.
        kitchen: Dinner, what to move from the freezer, and what the desk's steps list today.
        load: Today's minutes beside those available.
    """

    open: tuple[str, ...]
    area: AreaWeekView | None
    jobs: tuple[Job, ...]
    kitchen: KitchenAndDesk | None
    load: WeekDay | None
