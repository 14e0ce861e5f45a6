"""A week's dinners: seen, and planned in one form."""

from __future__ import annotations

import pytest

from coach.errors import Unknown
from coach.ground.faults import Unfit
from coach.kitchen import dinners as dinner
from coach.kitchen import favourites, planning
from coach.kitchen.dinners import TypedDinner
from coach.kitchen.planning import Entry, plan_week
from habits.house import HOME, House
from kitchen.cooking import a_dinner, dish, dish_on, frozen, plan, written
from progress.living import on

CHICKEN = ("chicken", "1.4 kg", "poultry")


@pytest.fixture
def house() -> House:
    return House().begun()


def seen(house: House, day: int) -> str:
    """What a form that is opened now remembers of a day."""
    return dinner.day(house.context, HOME, on(day)).seen


def send(house: House, entries: dict[int, Entry]) -> None:
    """Send a form."""
    plan_week(house.context, HOME, {on(day): entry for day, entry in entries.items()})


def test_a_week_is_planned_at_once(house: House) -> None:
    send(house, {2: Entry(a_dinner("Soup")), 3: Entry(a_dinner("Pie")), 4: Entry()})
    assert [dish_on(house, day) for day in (2, 3, 4)] == ["Soup", "Pie", None]


def test_with_a_fault_in_any_date_nothing_is_saved_and_each_is_named(house: House) -> None:
    faulty = Entry(a_dinner("Roast", ("joint", "a lot", "cut")))
    with pytest.raises(Unfit) as caught:
        send(house, {2: Entry(a_dinner("Soup")), 3: faulty, 4: Entry(a_dinner("", CHICKEN))})
    assert [fault.field for fault in caught.value.faults] == [
        "2027-01-06-frozen-1-weight",
        "2027-01-07-dish",
    ]
    assert written(house, "dinner") == []


def test_an_emptied_date_has_no_dinner_any_more(house: House) -> None:
    plan(house, 2, a_dinner("Soup"))
    send(house, {2: Entry(seen=seen(house, 2))})
    assert dish_on(house, 2) is None


def test_a_date_left_as_it_was_is_not_written_so_two_people_can_plan_at_once(house: House) -> None:
    plan(house, 2, a_dinner("Soup"))
    mine = {2: Entry(a_dinner("Soup"), seen(house, 2)), 3: Entry(a_dinner("Pie"), seen(house, 3))}
    plan(house, 2, a_dinner("Stew"))  # on the other phone, while mine shows the form
    send(house, mine)
    assert [dish_on(house, day) for day in (2, 3)] == ["Stew", "Pie"]


def test_a_form_opened_yesterday_can_still_be_sent_if_yesterday_is_as_it_was(house: House) -> None:
    plan(house, 1, a_dinner("Soup"))
    entries = {1: Entry(a_dinner("Soup"), seen(house, 1)), 2: Entry(a_dinner("Pie"))}
    send(house.at(2), entries)
    assert dish_on(house, 2) == "Pie"


def test_a_dinner_in_the_past_is_refused_with_the_others_kept_back(house: House) -> None:
    house.at(3)
    with pytest.raises(Unfit, match="Tuesday 5 January 2027 is over") as caught:
        send(house, {2: Entry(a_dinner("Soup")), 3: Entry(a_dinner("Pie"))})
    assert [fault.field for fault in caught.value.faults] == ["2027-01-05-dish"]
    assert written(house, "dinner") == []


def test_what_has_left_the_freezer_stays_so(house: House) -> None:
    plan(house, 2, a_dinner("Soup", CHICKEN))
    dinner.leave(house.context, HOME, on(2), 1, left=True)
    send(house, {2: Entry(a_dinner("Broth", CHICKEN), seen(house, 2))})
    assert frozen(house, 2)[0].left_on == on(1)


def test_a_dish_is_kept_as_a_favourite_with_a_tick(house: House) -> None:
    send(house, {2: Entry(a_dinner("Soup", CHICKEN), keep=True)})
    assert [one.dish for one in favourites.favourites(house.context, HOME).favourites] == ["Soup"]


def test_a_dish_that_stays_can_be_kept_too(house: House) -> None:
    plan(house, 2, a_dinner("Soup"))
    send(house, {2: Entry(a_dinner("Soup"), seen(house, 2), keep=True)})
    assert len(favourites.favourites(house.context, HOME).favourites) == 1
    assert len(written(house, "dinner")) == 1


def test_the_same_dish_twice_is_kept_once(house: House) -> None:
    send(house, {day: Entry(a_dinner(name), keep=True) for day, name in ((2, "Soup"), (3, "soup"))})
    assert [one.dish for one in favourites.favourites(house.context, HOME).favourites] == ["soup"]


def test_a_favourite_takes_the_place_of_what_was_planned(house: House) -> None:
    kept, _ = favourites.keep(house.context, HOME, dish("Pie", CHICKEN))
    plan(house, 2, a_dinner("Soup"))
    as_it_was = Entry(a_dinner("Soup"), seen(house, 2), kept.id)
    send(house, {2: as_it_was, 3: Entry(TypedDinner(time="12:30"), favourite=kept.id)})
    assert [dish_on(house, day) for day in (2, 3)] == ["Pie", "Pie"]
    found = dinner.day(house.context, HOME, on(3)).dinner
    assert found is not None
    assert found.time == "12:30"


def test_a_favourite_and_another_dish_at_once_is_a_question(house: House) -> None:
    kept, _ = favourites.keep(house.context, HOME, dish("Pie"))
    with pytest.raises(Unfit, match="Choose a favourite or type a dish, not both") as caught:
        send(house, {2: Entry(a_dinner("Soup"), favourite=kept.id)})
    assert caught.value.faults[0].field == "2027-01-05-favourite"


def test_a_favourite_that_is_gone_is_said_beside_its_field(house: House) -> None:
    with pytest.raises(Unfit, match="no favourite “pie”"):
        send(house, {2: Entry(favourite="pie")})


def test_the_answer_is_the_week_that_was_planned(house: House) -> None:
    assert plan_week(house.context, HOME, {on(9): Entry(a_dinner("Soup"))}).week == "2027-W02"
    assert plan_week(house.context, HOME, {}).week == "2027-W01"


def test_a_week_has_seven_dates_and_the_weeks_beside_it(house: House) -> None:
    plan(house, 9, a_dinner("Soup"))
    found = planning.week(house.context, HOME, "2027-W02")
    assert [day.date for day in found.days] == [on(day) for day in range(8, 15)]
    assert (found.earlier, found.later, found.current) == ("2027-W01", "2027-W03", False)
    assert [day.dinner.dish if day.dinner else None for day in found.days] == [None, "Soup", *[None] * 5]


def test_past_dates_of_a_week_can_only_be_read(house: House) -> None:
    house.at(3)
    assert [day.editable for day in planning.week(house.context, HOME).days] == [False, False, *[True] * 5]


@pytest.mark.parametrize("name", ["2027-W99", "next", "0001-W01", "9999-W52", "2027-W5"])
def test_a_week_that_is_none_is_unknown(house: House, name: str) -> None:
    with pytest.raises(Unknown, match="There is no such week"):
        planning.week(house.context, HOME, name)
