"""What stands around today's habits, for the page and for JSON alike."""

import datetime as dt
from dataclasses import dataclass

from coach.areas.answers import AreaWeekView
from coach.desk.answers import DeskToday, DueDateView, ErrandPlace, PutOffToday, ToDoView
from coach.ground.offers import Offer
from coach.ground.parts import PartName
from coach.kitchen.answers import DinnerDay, Favourite, Move, Moves
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
        errands_offer: The mark of the step that goes out, once every errand is done.
    """

    dinner: DinnerDay
    asks: bool
    favourites: tuple[Favourite, ...]
    moves: Moves
    desk: DeskToday | None
    put_off: PutOffToday | None
    errands: tuple[ErrandPlace, ...] | None
    errands_offer: Offer | None


@dataclass(frozen=True, slots=True)
class Around:
    """What stands around today's habits.

    Attributes:
        open: The pages of the home plan that are open: `week`, `areas`, `dinner`, `desk`.
        area: This week's area, once the home has been divided.
        rooms_first: The title of a step on today's list that needs the home divided first; else none.
        jobs: The weekday jobs on today's checklist.
        kitchen: Dinner, what to move from the freezer, and what the desk's steps list today.
        load: Today's minutes beside those available.
        held: For each part of the plan the line of today's list that holds it: the first one without a mark
            whose step works in it.
        on_list: The parts of the plan in which a step of today's list works, marked or not.
    """

    open: tuple[str, ...]
    area: AreaWeekView | None
    rooms_first: str | None
    jobs: tuple[Job, ...]
    kitchen: KitchenAndDesk | None
    load: WeekDay | None
    held: dict[PartName, str]
    on_list: frozenset[PartName]

    @property
    def moves_now(self) -> tuple[Move, ...]:
        """What has to leave the freezer today, or it is too late for."""
        moves = self.kitchen.moves if self.kitchen else None
        return tuple(one for one in (*moves.behind, *moves.today) if not _left(one)) if moves else ()

    @property
    def moves_later(self) -> tuple[Move, ...]:
        """What can leave it until tomorrow, and what has left it."""
        moves = self.kitchen.moves if self.kitchen else None
        left = (one for one in (*moves.behind, *moves.today) if _left(one)) if moves else ()
        return (*moves.tomorrow, *left) if moves else ()

    @property
    def dues_now(self) -> tuple[DueDateView, ...]:
        """What is due today or was, and what no desk work of the list will see to in time."""
        desk = self.kitchen.desk if self.kitchen else None
        if desk is None:
            return ()
        listed = "desk" in self.held or (desk.desk_day and "desk" in self.on_list)
        return (*desk.due, *(() if listed else desk.dues))

    @property
    def area_card(self) -> bool:
        """Whether the week's area has something for today that stands in no line of the list."""
        area = self.area
        if area is None or "areas" in self.on_list:
            return False
        spot = area.spot is not None and area.way != "list" and area.spot.done is None
        listed = any(task.done is None for turn in area.areas for task in turn.listed)
        return spot or (area.way != "spot" and listed and area.today in area.minutes)

    @property
    def dinner_card(self) -> bool:
        """Whether today's dinner, or the question what it will be, stands in no line of the list."""
        if self.kitchen is None or "dinner" not in self.open or "dinner" in self.held:
            return False
        return self.kitchen.dinner.dinner is not None or (self.kitchen.asks and "dinner" not in self.on_list)

    @property
    def put_off_card(self) -> bool:
        """Whether a step that does not work at the desk asks for a put-off job, as older courses have it."""
        return self.kitchen is not None and self.kitchen.put_off is not None and "desk" not in self.on_list

    @property
    def offers(self) -> dict[str, Offer]:
        """The steps whose mark is offered, as what they are about is finished."""
        kitchen = self.kitchen
        found = [
            *(job.offers for job in self.jobs),
            self.area.offers if self.area else None,
            *((kitchen.dinner.offers, kitchen.errands_offer) if kitchen else ()),
        ]
        return {one.step: one for one in found if one is not None}


def _left(move: Move) -> bool:
    return move.item.stage == "left"


@dataclass(frozen=True, slots=True)
class DeskList:
    """The desk's list of today.

    Attributes:
        dues: What is to be seen to before the next desk work.
        next_desk_day: When that is, if it is known.
        put_off: The put-off job for its next day; none if nothing is put off.
    """

    dues: tuple[DueDateView, ...]
    next_desk_day: dt.date | None
    put_off: ToDoView | None


@dataclass(frozen=True, slots=True)
class Errands:
    """The errands by place, and the mark that is offered once all of them are done."""

    places: tuple[ErrandPlace, ...]
    offers: Offer | None


@dataclass(frozen=True, slots=True)
class About:
    """What a step is about: the part of the home plan it works in, as it stands today.

    Attributes:
        area: Of a step that works in areas: this week's area, once the home has been divided.
        rooms_first: Whether the home has to be divided before such a step can be worked at.
        desk: Of one that works in desk: the dues to see to before the next desk work.
        errands: Of one that works in errands: those that wait, by place.
        dinner: Of one that works in dinner: today's date with its dinner.
    """

    area: AreaWeekView | None = None
    rooms_first: bool = False
    desk: DeskList | None = None
    errands: Errands | None = None
    dinner: DinnerDay | None = None
