"""A household with desk work on Tuesdays, a put-off job and an errand run: day 1 is Monday 4 January 2027."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.desk import dues
from coach.desk import overview as desk
from coach.desk.dues import TypedDue
from coach.ground.situation import situation
from habits.house import HOME, House
from progress.living import a_course, a_step

if TYPE_CHECKING:
    from coach.desk.answers import Desk, DeskToday, ErrandPlace, PutOffToday

COURSE = a_course(
    a_step("bed", 1, minutes=2),
    a_step("desk-work", repeats="FREQ=WEEKLY;BYDAY=TU", waits=False),
    a_step("put-off-job", repeats="FREQ=WEEKLY;INTERVAL=2;BYDAY=TU", waits=False),
    a_step("errand-run", repeats="FREQ=WEEKLY;BYDAY=FR", waits=False),
)
STEPS = ("desk-work", "put-off-job", "errand-run")
WITHOUT = a_course(a_step("bed", 1))


def working() -> House:
    """The household on day 1, with its three steps on the way."""
    house = House(COURSE).begun()
    for step in STEPS:
        house.mark(1, step)
    return house


def live(house: House, day: int) -> House:
    """Mark the bed every day before this one, and wake up on it."""
    for each in range(1, day):
        house.at(each).mark(each, "bed")
    return house.at(day)


def add(house: House, name: str, on: str, repeats: str = "", needs: str = "") -> str:
    """Write a due down."""
    return dues.add(house.context, HOME, TypedDue(name, on, repeats, needs))[0]


def seen(house: House) -> Desk:
    """The desk."""
    return desk.desk(house.context, HOME)


def now(house: House) -> list[str]:
    """What has to be seen to now: each with its date and how it stands."""
    return [f"{one.name} {one.on} {one.urgency}" for one in seen(house).now]


def coming(house: House) -> list[str]:
    """What comes later."""
    return [f"{one.name} {one.on}" for one in seen(house).coming]


def today(house: House) -> DeskToday | None:
    """What desk work is given today."""
    with house.store.reading(HOME) as reading:
        return desk.desk_today_in(situation(house.context, reading))


def put_off(house: House) -> PutOffToday | None:
    """What the put-off job is given today."""
    with house.store.reading(HOME) as reading:
        return desk.put_off_today_in(situation(house.context, reading))


def errands(house: House) -> tuple[ErrandPlace, ...] | None:
    """What the errand run is given today."""
    with house.store.reading(HOME) as reading:
        return desk.errands_today_in(situation(house.context, reading))


def listed(house: House) -> list[str]:
    """The dues listed today."""
    found = today(house)
    return [f"{one.name} {one.on}" for one in found.dues] if found else []
