"""What today's page is given: dinner or the question, what to move, and what the steps of the day list."""

from __future__ import annotations

import pytest

from coach.desk import dues, todos
from coach.desk.due_rows import TypedDue
from coach.habits import pauses, steps
from coach.kitchen import favourites
from desk.deskwork import add, listed, live, today, working
from habits.house import HOME, House
from kitchen.kitchen import a_dinner, dish, plan
from progress.living import on

CHICKEN = ("chicken", "4 lb", "poultry")


@pytest.fixture
def house() -> House:
    return working()


def test_today_asks_for_dinner_until_there_is_one(house: House) -> None:
    favourites.keep(house.context, HOME, dish("Pie"))
    assert today(house).asks
    assert [one.dish for one in today(house).favourites] == ["Pie"]
    plan(house, 1, a_dinner("Soup"))
    found = today(house)
    assert (found.asks, found.favourites) == (False, ())
    assert found.dinner.dinner is not None
    assert found.dinner.dinner.dish == "Soup"


def test_nobody_is_asked_while_away(house: House) -> None:
    pauses.pause(house.at(2).context, HOME, None, on(9))
    assert not today(house.at(4)).asks


def test_what_moves_today_and_tomorrow_is_told(house: House) -> None:
    plan(house, 2, a_dinner("Soup", CHICKEN))
    plan(house, 3, a_dinner("Stew", CHICKEN))
    found = today(house).moves
    assert [[move.dish for move in moves] for moves in (found.today, found.tomorrow)] == [["Soup"], ["Stew"]]


def test_on_a_desk_day_it_lists_what_comes_before_the_next(house: House) -> None:
    live(house, 2)
    add(house, "soon", "2027-01-14")
    add(house, "later", "2027-01-15")
    assert listed(house) == ["soon 2027-01-14"]


def test_desk_work_left_open_is_listed_on_the_days_after(house: House) -> None:
    live(house, 2)
    add(house, "soon", "2027-01-14")
    assert listed(live(house, 4)) == ["soon 2027-01-14"]
    house.mark(4, "desk-work")
    found = today(house.at(5))
    assert found.desk is None


def test_on_another_day_only_what_cannot_wait_is_listed(house: House) -> None:
    live(house, 2).mark(2, "desk-work")
    live(house, 4)
    assert today(house).desk is None
    add(house, "can wait", "2027-01-16")
    assert today(house).desk is None
    add(house, "cannot", "2027-01-13")
    assert listed(house) == ["cannot 2027-01-13"]
    found = today(house).desk
    assert found is not None
    assert (found.desk_day, found.next_desk_day) == (False, on(9))


def test_a_due_that_needs_more_days_after_its_desk_day_is_listed_at_once(house: House) -> None:
    due = add(house, "tax", "2027-01-16")
    live(house, 2).mark(2, "desk-work")
    live(house, 3)
    dues.change(house.context, HOME, due, TypedDue("Council tax", "2027-01-16", needs="3"))
    assert listed(house) == []
    dues.change(house.context, HOME, due, TypedDue("Council tax", "2027-01-16", needs="7"))
    assert listed(house) == ["Council tax 2027-01-16"]


def test_a_due_that_only_gets_another_name_still_waits_for_the_next_desk_day(house: House) -> None:
    due = add(house, "tax", "2027-01-14")
    live(house, 2)
    assert listed(house) == ["tax 2027-01-14"]
    house.mark(2, "desk-work")
    live(house, 3)
    dues.change(house.context, HOME, due, TypedDue("Council tax", "2027-01-14"))
    assert listed(house) == []


def test_a_desk_day_moved_to_another_weekday_counts_there(house: House) -> None:
    live(house, 2).mark(2, "desk-work")
    steps.adjust(house.context, HOME, "desk-work", {"repeats": "FREQ=WEEKLY;BYDAY=TH"})
    add(house, "before the 14th", "2027-01-16")
    assert today(live(house, 3)).desk is None
    assert listed(live(house, 4)) == ["before the 14th 2027-01-16"]


def test_days_away_are_no_desk_days_so_dues_are_seen_before(house: House) -> None:
    live(house, 2)
    add(house, "during the holiday", "2027-01-18")
    assert listed(house) == []
    pauses.pause(house.context, HOME, on(6), on(16))
    assert listed(house) == ["during the holiday 2027-01-18"]


def test_desk_work_set_aside_makes_every_day_a_desk_day(house: House) -> None:
    live(house, 2).mark(2, "desk-work")
    steps.set_aside(house.context, HOME, "desk-work")
    add(house, "tax", "2027-01-10")  # comfortable on day 4
    assert [listed(live(house, day)) for day in (3, 4, 5)] == [[], ["tax 2027-01-10"], ["tax 2027-01-10"]]


def test_the_put_off_job_of_its_day_is_the_oldest_or_the_one_picked(house: House) -> None:
    for name in ("Mirror", "Tap"):
        found = todos.add(house.context, HOME, name, "put-off")
    shown = today(live(house, 2)).put_off
    assert shown is not None
    assert shown.picked is not None
    assert (shown.picked.title, [one.title for one in shown.others]) == ("Mirror", ["Tap"])
    todos.pick(house.context, HOME, found.put_off[1].id)
    shown = today(house).put_off
    assert shown is not None
    assert shown.picked is not None
    assert (shown.picked.title, [one.title for one in shown.others]) == ("Tap", ["Mirror"])


def test_its_day_says_so_when_nothing_is_put_off(house: House) -> None:
    shown = today(live(house, 2)).put_off
    assert shown is not None
    assert (shown.picked, shown.others) == (None, ())


def test_on_other_days_there_is_no_put_off_job_and_no_errand(house: House) -> None:
    todos.add(house.context, HOME, "Mirror", "put-off")
    todos.add(house.context, HOME, "Stamps", "errand")
    for day, step in ((2, "put-off-job"), (5, "errand-run")):
        live(house, day).mark(day, step)
    found = today(live(house, 6))
    assert (found.put_off, found.errands) == (None, None)


def test_the_errand_run_shows_errands_by_place(house: House) -> None:
    todos.add(house.context, HOME, "Stamps", "errand", "Post office")
    shown = today(live(house, 5)).errands
    assert shown is not None
    assert [(place.place, place.todos[0].title) for place in shown] == [("Post office", "Stamps")]
