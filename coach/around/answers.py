"""What the service of today's surroundings answers, for the page and for JSON alike."""

from dataclasses import dataclass

from coach.areas.answers import AreaWeekView
from coach.around.kitchen_and_desk_answers import KitchenAndDesk
from coach.week.answers import Job, WeekDay


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
