"""A busy Tuesday evening: twelve lines, the whole home plan, and something of everything that cannot wait."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING

from coach.coaching import demo
from coach.desk import dues
from coach.desk.dues import TypedDue
from coach.ground.pages import PAGES
from coach.household import data, places
from coach.kitchen import dinners
from coach.kitchen.dinners import TypedDinner
from coach.kitchen.dishes import TypedDish, TypedFrozen
from coach.progress.csvform import write_log
from coach.progress.log import Row, What
from coach.progress.replay import replay

if TYPE_CHECKING:
    from collections.abc import Iterator

    from coach.course.model import Course
    from coach.ground.ports import Context
    from web.house import House

HOME = "home"
TODAY = date(2027, 1, 26)
"""A Tuesday, on which papers and area time fall."""

EVENING = datetime(2027, 1, 26, 19, 30, tzinfo=UTC)
"""The same in Lisbon and in UTC."""

DAYS_BEFORE, OWN_SINCE = 56, 40
OWN = (
    ("dog-fed", "Feed the dog", "after dinner", 3),
    ("bottles-filled", "Fill the water bottles", "while the kettle boils", 2),
    ("school-bag", "Pack the school bag together", "after homework", 5),
    ("hob-wiped", "Wipe the hob", "while it is warm and no longer hot", 3),
    ("bins-out", "Carry the bins to the gate", "before the late news", 5),
    ("plants-looked-at", "Look at the plants", "when the blinds come down", 2),
    ("alarm-set", "Set two alarms", "on the way to bed", 1),
)
"""The evening lines a household added: step, title, cue, minutes."""

MOVED = ("papers", "area-time")
"""The jobs of a Tuesday, which this household does in the evening."""

CHICKEN = TypedDish(
    "Chicken with rice", "400 g rice\n1 lemon", (TypedFrozen("chicken legs", "2.6 kg", "poultry"),), "60"
)


def busy_log(course: Course, today: date = TODAY) -> list[Row]:
    """A log in which everything was kept up to yesterday, and this morning's lines are kept too."""
    start = today - timedelta(days=DAYS_BEFORE)
    rows = [
        Row(start, What.ZONE, value=demo.ZONE),
        Row(start, What.DAY_STARTS, value="03:00"),
        Row(start, What.START, course.roots[0].id, "standard"),
    ]
    for number in range(DAYS_BEFORE):
        day = start + timedelta(days=number)
        if number == OWN_SINCE:
            rows += _added(day)
        rows += [Row(day, What.KEPT, step) for step in replay(course, rows, day).checklist]
    kept = ("bed-made", "dinner-decided")
    return [*rows, *(Row(today, What.KEPT, step) for step in kept)]


def _added(day: date) -> Iterator[Row]:
    """The household's own lines, which come by being marked, and the jobs put into the evening."""
    for step, title, cue, minutes in OWN:
        own = {"title": title, "cue": cue, "minutes": minutes, "slot": "evening", "waits": False}
        yield Row(day, What.ADD, step, json.dumps(own))
        yield Row(day, What.KEPT, step)
    for step in MOVED:
        yield Row(day, What.ADJUST, step, json.dumps({"slot": "evening"}))


def furnish_busy(context: Context, household: str = HOME, today: date = TODAY) -> None:
    """The plan of Tern Street, a dinner whose meat has to leave the freezer today, and dues that press."""
    demo.furnish(context, household, today)
    dinners.put(context, household, today + timedelta(days=2), TypedDinner(CHICKEN, "18:30"))
    yesterday, tomorrow = (str(today + timedelta(days=ahead)) for ahead in (-1, 1))
    dues.add(context, household, TypedDue("Swimming fee", yesterday, amount="24"))
    dues.add(context, household, TypedDue("Consent form for the museum", tomorrow, needs="1"))
    for name in PAGES:
        places.open_early(context, household, name)


def busy(house: House) -> None:
    """The same in a house of the tests, on that evening."""
    house.now = EVENING
    seed_busy(house.app.state.context)


def seed_busy(context: Context, household: str = HOME, today: date = TODAY) -> None:
    """Bring the whole of it into an empty store."""
    course = context.library.course(context.course)
    data.load(context, household, write_log(busy_log(course, today)))
    furnish_busy(context, household, today)
