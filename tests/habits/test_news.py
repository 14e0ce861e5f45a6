"""What is new on a day: why a step came, what has settled, and the places of the bar."""

from __future__ import annotations

import pytest

from coach.habits import pauses, steps
from coach.habits.day import day as day_on
from coach.habits.day import today
from coach.household import settings
from coach.household.places import open_early
from coach.web.navigation import bar
from habits.house import HOME, House
from progress.living import a_course, a_step, on

DINNER = a_course(
    "bed",
    a_step("dinner", after=["bed"], works_in="dinner"),
    a_step("area", after=["bed"], works_in="areas", repeats="FREQ=WEEKLY", waits=False),
)


def keep(house: House, first: int, last: int, *names: str) -> None:
    """Keep these steps on the days from one to another."""
    for day in range(first, last + 1):
        house.at(day)
        for name in names:
            house.mark(day, name)


def why(house: House, day: int) -> str | None:
    """Why a step came on a day."""
    arrived = today(house.at(day).context, HOME).arrived
    return arrived.text if arrived else None


def test_the_day_a_step_comes_says_why_and_marks_its_line() -> None:
    house = House(a_course("bed", a_step("cups", after=["bed"], slot="morning"))).begun()
    assert why(house, 1) == "The bed is the step you begin with."
    house.mark(1, "bed", "missed")
    keep(house, 2, 3, "bed")
    assert why(house, 4) == "The bed has held, 2 of 3: the gate is open."
    day = today(house.context, HOME)
    assert {line.step: line.new for line in day.checklist} == {"bed": False, "cups": True}
    assert day.arrived is not None
    assert [(one.kind, one.step, one.kept, one.of) for one in day.arrived.because] == [("after", "bed", 2, 3)]
    assert why(house, 5) is None
    later = day_on(house.context, HOME, on(4)).arrived
    assert later == day.arrived


def test_two_that_have_held_are_said_together() -> None:
    course = a_course("bed", a_step("cups", after=["bed"]), a_step("lamp", after=["bed", "cups"]))
    house = House(course).begun()
    keep(house, 1, 2, "bed")
    keep(house, 3, 4, "bed", "cups")
    assert why(house, 5) == "The bed and The cups have both held: the gate is open."


def test_one_that_was_set_aside_is_said_beside_one_that_has_held() -> None:
    house = House(a_course("bed", "cups", a_step("lamp", after=["bed", "cups"]))).begun()
    keep(house, 1, 2, "bed")
    house.at(3)
    steps.set_aside(house.context, HOME, "cups")
    assert why(house, 3) == "The bed has held, 2 of 3, and The cups is set aside: the gate is open."


def test_room_that_was_left_and_a_wish_are_said() -> None:
    house = House(a_course("bed", "cups", "lamp")).begun()
    steps.take_next(house.context, HOME, "lamp")
    keep(house, 1, 2, "bed")
    assert why(house, 3) == (
        "You asked for The lamp to come next. The bed has held, 2 of 3: the gate is open."
    )
    keep(house, 3, 3, "bed", "lamp")
    house.at(4)
    steps.set_aside(house.context, HOME, "lamp")
    assert why(house, 4) == "The lamp is set aside: the gate is open."


def test_a_step_that_never_came_leaves_no_room() -> None:
    house = House(a_course("bed", "cups", "lamp")).begun()
    keep(house, 1, 2, "bed")
    house.at(3)
    steps.set_aside(house.context, HOME, "lamp")
    assert why(house, 3) == "The bed has held, 2 of 3: the gate is open."


def test_a_ceiling_that_was_raised_is_said() -> None:
    house = House(a_course(a_step("bed", minutes=5), a_step("cups", minutes=10))).begun()
    settings.change(house.context, HOME, minutes=10)
    keep(house, 1, 3, "bed")
    house.at(4)
    settings.change(house.context, HOME, minutes=20)
    assert why(house, 4) == "There is room for it within the 20 minutes a day you chose."


def test_a_step_that_comes_by_a_mark_says_nothing() -> None:
    house = House(a_course("bed", a_step("cups", after=["bed"]))).begun()
    house.at(2)
    day = house.mark(2, "cups")
    assert (day.arrived, [line.new for line in day.checklist]) == (None, [False, False])


def settled(house: House, day: int) -> list[str]:
    """What is said to have settled, on a day."""
    return [step.text for step in today(house.at(day).context, HOME).settled]


FULL = "The bed has settled: kept 2 of 3. It stays on the list and no longer holds the next step back."


def test_what_has_settled_is_said_on_the_day_after() -> None:
    house = House(a_course("bed")).begun()
    house.mark(1, "bed", "missed")
    keep(house, 2, 4, "bed")
    assert settled(house, 4) == [FULL]
    assert settled(house, 5) == []
    assert day_on(house.context, HOME, on(4)).settled == ()


def test_it_is_said_again_until_a_day_has_a_mark() -> None:
    house = House(a_course("bed")).begun()
    house.mark(1, "bed", "missed")
    keep(house, 2, 3, "bed")
    assert [settled(house, day) for day in (4, 5, 6)] == [[FULL]] * 3
    house.mark(6, "bed")
    assert settled(house, 6) == [FULL]
    assert settled(house, 7) == []


def test_it_waits_for_the_day_one_is_back() -> None:
    house = House(a_course("bed")).begun()
    house.mark(1, "bed", "missed")
    keep(house, 2, 3, "bed")
    pauses.pause(house.context, HOME, on(4), on(30))
    assert settled(house, 20) == []
    assert settled(house, 31) == [FULL]


def test_numbers_that_are_not_known_any_more_are_left_out() -> None:
    house = House(a_course("bed", lapse_after=90)).begun()
    keep(house, 1, 2, "bed")
    assert settled(house, 40) == [
        "The bed has settled. It stays on the list and no longer holds the next step back."
    ]


def test_the_numbers_are_not_said_twice_on_a_day() -> None:
    house = House(a_course("bed", a_step("cups", after=["bed"]))).begun()
    keep(house, 1, 2, "bed")
    assert why(house, 3) == "The bed has held, 2 of 3: the gate is open."
    assert settled(house, 3) == ["The bed is settled and stays on the list."]


def test_a_step_that_never_held_anything_back_says_less() -> None:
    house = House(a_course(a_step("bed", waits=False))).begun()
    keep(house, 1, 2, "bed")
    assert settled(house, 3) == ["The bed has settled: kept 2 of 2. It stays on the list."]


def test_what_was_set_aside_since_is_not_said_to_stay() -> None:
    house = House(a_course("bed")).begun()
    keep(house, 1, 2, "bed")
    house.at(3)
    steps.set_aside(house.context, HOME, "bed")
    assert settled(house, 3) == []


def new_places(house: House, day: int) -> list[tuple[str, str]]:
    """The places that open on a day, with what is said."""
    return [(new.place, new.text) for new in today(house.at(day).context, HOME).new_places]


def test_a_place_of_the_bar_says_once_where_it_came_from() -> None:
    house = House(DINNER).begun()
    assert new_places(house, 1) == []
    keep(house, 1, 3, "bed")
    assert new_places(house, 3) == [("home", "Home is new in the bar: it came with “The dinner”.")]
    assert new_places(house, 4) == [("week", "Week is new in the bar: it came with “The area”.")]
    assert new_places(house, 5) == []


def test_a_place_that_was_opened_early_is_not_new() -> None:
    house = House(DINNER).begun()
    open_early(house.context, HOME, "desk")
    keep(house, 1, 3, "bed")
    assert new_places(house, 3) == []


@pytest.mark.parametrize(("pages", "name", "word"), [(["week"], "week", "Week"), (["desk"], "home", "Home")])
def test_the_places_are_called_as_in_the_bar(pages: list[str], name: str, word: str) -> None:
    place = next(place for place in bar(pages) if place.name == name)
    assert (place.word, place.address) == (word, f"/{name}")
