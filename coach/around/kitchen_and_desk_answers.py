"""What today's page is given of the kitchen and the desk."""

# Pydantic reads these annotations at run time.
import datetime as dt
from dataclasses import dataclass

from coach.desk.answers import DueDateView, ErrandPlace, ToDoView
from coach.kitchen.answers import DinnerDay, Favourite, Moves


@dataclass(frozen=True, slots=True)
class DeskToday:
    """What the desk lists today.

    Attributes:
        desk_day: Whether today is a desk-work day; on other days only what was written down too late for one.
        next_desk_day: The next one after today, if one is known.
    """

    desk_day: bool
    next_desk_day: dt.date | None
    dues: tuple[DueDateView, ...]


@dataclass(frozen=True, slots=True)
class PutOffToday:
    """The put-off job of its day.

    Attributes:
        picked: The one that was picked, or the oldest; none if nothing is put off.
        others: Those that could be picked instead, the oldest first.
    """

    picked: ToDoView | None
    others: tuple[ToDoView, ...]


@dataclass(frozen=True, slots=True)
class KitchenAndDesk:
    """What today's page shows of dinner, desk work, the put-off job and errands.

    Attributes:
        dinner: Today's date with its dinner, if there is one.
        asks: Whether today has no dinner yet and the household is there to decide it.
        favourites: Dishes to choose from while it asks.
        moves: What has to leave the freezer today and tomorrow, and what it is too late for.
        desk: On a desk-work day, or when something cannot wait for one.
        put_off: While the step of the put-off job is open today.
        errands: While the step of the errand run is open today, by place; none on other days.
    """

    dinner: DinnerDay
    asks: bool
    favourites: tuple[Favourite, ...]
    moves: Moves
    desk: DeskToday | None
    put_off: PutOffToday | None
    errands: tuple[ErrandPlace, ...] | None
