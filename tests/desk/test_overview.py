"""The desk as it stands: what is seen now and what comes later, and what today's steps list."""

from __future__ import annotations

from datetime import date, timedelta
from unittest.mock import patch

import pytest

from coach.desk import dues, todos
from coach.desk.dues import TypedDue
from coach.desk.rules.dues import DueDate
from coach.ground.situation import looking
from coach.habits import pauses, steps
from coach.progress.opening import Phase
from desk.working import WITHOUT, add, coming, errands, listed, live, now, put_off, seen, today, working
from habits.house import HOME, House
from progress.living import a_course, a_step, on

MONTHLY = "FREQ=MONTHLY;BYMONTHDAY=8"


@pytest.fixture
def house() -> House:
    """Desk work on Tuesdays, the 5th, the 12th and so on; today is Monday the 4th."""
    return working()


def see_to(house: House, due: str, day: str) -> None:
    dues.see_to(house.context, HOME, due, date.fromisoformat(day))


def test_the_desk_knows_its_days(house: House) -> None:
    found = seen(house)
    assert (found.desk_day, found.next_desk_day) == (True, on(2))  # day 1: its first occurrence is open
    house = live(house, 3)
    house.mark(2, "desk-work")
    assert (seen(house).desk_day, seen(house).next_desk_day) == (False, on(9))


def test_what_comes_before_the_next_desk_work_is_seen_now_and_the_rest_comes_later(house: House) -> None:
    add(house, "soon", "2027-01-07")  # comfortable on the 4th, before desk work on the 5th
    add(house, "later", "2027-01-08")  # comfortable on the 5th
    add(house, "past", "2027-01-02")
    assert now(house) == ["past 2027-01-02 overdue", "soon 2027-01-07 in-time"]
    assert coming(house) == ["later 2027-01-08"]


def test_an_appointment_in_the_small_hours_stands_on_the_day_that_still_goes_on(house: House) -> None:
    for name, at in (("flight", "01:30"), ("dentist", "09:00")):
        dues.add(house.context, HOME, TypedDue(name, "2027-01-10", time=at))
    house = live(house, 2)
    house.mark(2, "desk-work")
    found = today(house.at(6))
    assert found is not None
    assert [one.text for one in found.due] == ["Due tomorrow, Sunday 10 January at 01:30"]


def test_only_the_next_date_of_what_repeats_is_shown_as_coming(house: House) -> None:
    add(house, "rent", "2027-01-08", MONTHLY)
    assert coming(house) == ["rent 2027-01-08"]


@pytest.mark.parametrize(
    ("on", "repeats", "text"),
    [
        ("2027-01-06", "", "Due Wednesday 6 January, sooner than the 3 days it needs"),
        ("2027-01-05", "", "Due tomorrow, Tuesday 5 January, sooner than the 3 days it needs"),
        ("2027-01-03", "", "Was due Sunday 3 January"),
        ("2027-01-07", "", "Due Thursday 7 January"),
        ("2026-12-30", "", "Was due Wednesday 30 December 2026"),
    ],
)
def test_how_it_stands_is_said_in_words(house: House, on: str, repeats: str, text: str) -> None:
    add(house, "tax", on, repeats)
    assert [one.text for one in seen(house).now] == [text]


def test_every_due_is_on_a_desk_day_in_time() -> None:
    """Over a year, whatever its date: on some desk-work day, no later than its latest comfortable date."""
    house = live(working(), 3)
    house.mark(2, "desk-work")
    for ahead in range(10, 60):
        add(house, f"due {ahead}", (on(3) + timedelta(days=ahead)).isoformat())
    listed_on: dict[str, date] = {}
    for day in range(3, 64):
        house.at(day).mark(day, "bed")
        found = seen(house)
        if found.desk_day:
            house.mark(day, "desk-work")
            for one in found.now:
                listed_on.setdefault(one.name, on(day))
    for ahead in range(10, 50):
        assert listed_on[f"due {ahead}"] <= on(3) + timedelta(days=ahead - 3)


def test_what_lies_years_ahead_is_coming_too_and_can_be_seen_to_early(house: House) -> None:
    passport = add(house, "passport", "2036-05-01")
    boiler = add(house, "boiler", "2030-05-01", "FREQ=YEARLY;INTERVAL=4;BYMONTH=5;BYMONTHDAY=1")
    assert coming(house) == ["boiler 2030-05-01", "passport 2036-05-01"]
    see_to(house, passport, "2036-05-01")
    see_to(house, boiler, "2030-05-01")
    assert coming(house) == ["boiler 2034-05-01"]


def test_without_desk_work_every_day_is_a_desk_day() -> None:
    house = House(WITHOUT).begun()
    add(house, "tax", "2027-01-07")
    add(house, "toll", "2027-01-08")
    assert (seen(house).desk_day, seen(house).next_desk_day) == (True, on(2))
    assert now(house) == ["tax 2027-01-07 in-time"]


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
    assert today(house.at(5)) is None


def test_on_another_day_only_what_cannot_wait_is_listed(house: House) -> None:
    live(house, 2).mark(2, "desk-work")
    live(house, 4)
    assert today(house) is None
    add(house, "can wait", "2027-01-16")
    assert today(house) is None
    add(house, "cannot", "2027-01-13")
    assert listed(house) == ["cannot 2027-01-13"]
    found = today(house)
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


def test_what_a_moved_desk_day_would_have_listed_is_listed_on_the_first_day_after_the_move() -> None:
    """Tuesday told what is comfortable before the 12th. On Monday the 11th desk work moves to Saturdays."""
    house = live(working(), 2)
    add(house, "told", "2027-01-14")
    add(house, "of the 12th", "2027-01-15")
    add(house, "of the 16th", "2027-01-19")
    house.mark(2, "desk-work")
    live(house, 8)
    assert listed(house) == []
    steps.adjust(house.context, HOME, "desk-work", {"repeats": "FREQ=WEEKLY;BYDAY=SA"})
    assert [listed(live(house, day)) for day in (8, 9, 10)] == [["of the 12th 2027-01-15"]] * 3
    assert listed(live(house, 13)) == ["of the 16th 2027-01-19"]
    assert due_today(house) == ["told 2027-01-14 overdue", "of the 12th 2027-01-15 overdue"]


def test_what_falls_due_while_desk_days_are_away_is_listed_on_the_first_day_back() -> None:
    house = live(working(), 2)
    add(house, "in between", "2027-01-16")  # comfortable on the 13th; desk work on the 12th is away
    house.mark(2, "desk-work")
    pauses.pause(live(house, 7).context, HOME, on(7), on(11))
    assert listed(house) == ["in between 2027-01-16"]
    live(house.at(12), 12)
    assert listed(house) == ["in between 2027-01-16"]


def test_desk_work_brought_back_lists_what_nobody_listed_before_its_next_day() -> None:
    house = live(working(), 2)
    house.mark(2, "desk-work")
    add(house, "next week", "2027-01-14")  # comfortable on the 11th
    steps.set_aside(live(house, 3).context, HOME, "desk-work")
    assert listed(live(house, 4)) == []
    steps.restore(live(house, 5).context, HOME, "desk-work")
    assert listed(live(house, 6)) == ["next week 2027-01-14"]


def test_days_are_folded_once_more_only_for_what_could_be_listed() -> None:
    house = live(working(), 2)
    house.mark(2, "desk-work")
    add(house, "far", "2027-03-14")
    with patch("coach.desk.days.open_on") as folded:
        assert listed(live(house, 4)) == []
    folded.assert_not_called()


def due_today(house: House) -> list[str]:
    found = today(house)
    return [f"{one.name} {one.on} {one.urgency}" for one in found.due] if found else []


def test_a_due_stands_on_its_own_date_and_until_it_is_seen_to_whatever_desk_work_does() -> None:
    house = live(working(), 2)
    due = add(house, "tax", "2027-01-07")
    house.mark(2, "desk-work")
    assert due_today(live(house, 3)) == []
    assert due_today(live(house, 4)) == ["tax 2027-01-07 late"]
    assert due_today(live(house, 6)) == ["tax 2027-01-07 overdue"]
    pauses.pause(house.context, HOME, on(7), on(9))
    assert due_today(house.at(8)) == ["tax 2027-01-07 overdue"]
    see_to(house, due, "2027-01-07")
    assert due_today(house) == []


def test_what_is_due_stands_once_on_a_desk_day_and_the_rest_beside_it(house: House) -> None:
    live(house, 2)
    for name, day in (("now", "2027-01-05"), ("soon", "2027-01-14"), ("past", "2027-01-04")):
        add(house, name, day)
    found = today(house)
    assert found is not None
    assert [[one.name for one in each] for each in (found.due, found.dues)] == [["past", "now"], ["soon"]]


def test_dues_that_stand_for_long_are_not_compared_one_by_one(house: House) -> None:
    for name in ("post", "bins", "plants"):
        add(house, name, "2027-01-04", "FREQ=DAILY")
    house.at(40)
    with patch.object(DueDate, "__eq__", autospec=True, side_effect=DueDate.__eq__) as compared:
        found = today(house)
    assert found is not None
    assert len(found.due) == 3 * 40
    compared.assert_not_called()


def test_an_appointment_says_its_time_and_stands_in_its_order(house: House) -> None:
    for name, at in (("late", "15:30"), ("early", "09:00"), ("bill", "")):
        dues.add(house.context, HOME, TypedDue(name, "2027-01-05", time=at))
    house.at(2, "16:00")
    found = today(house)
    assert found is not None
    assert [(one.name, one.time, one.text) for one in found.due] == [
        ("bill", None, "Due today, Tuesday 5 January, sooner than the 3 days it needs"),
        ("early", "09:00", "Due today, Tuesday 5 January at 09:00"),
        ("late", "15:30", "Due today, Tuesday 5 January at 15:30"),
    ]


def test_a_desk_day_moved_to_another_weekday_counts_there(house: House) -> None:
    live(house, 2).mark(2, "desk-work")
    steps.adjust(house.context, HOME, "desk-work", {"repeats": "FREQ=WEEKLY;BYDAY=TH"})
    add(house, "before the 14th", "2027-01-16")
    assert today(live(house, 3)) is None
    assert listed(live(house, 4)) == ["before the 14th 2027-01-16"]


def test_days_away_are_no_desk_days_so_dues_are_seen_before(house: House) -> None:
    live(house, 2)
    add(house, "during the holiday", "2027-01-18")
    assert listed(house) == []
    pauses.pause(house.context, HOME, on(6), on(16))
    assert listed(house) == ["during the holiday 2027-01-18"]


def test_a_day_on_which_the_household_is_lapsed_is_no_desk_day_though_its_list_shows_the_step() -> None:
    house = live(working(), 3)
    house.mark(2, "desk-work")
    house.at(16)
    with looking(house.context, HOME) as where:
        assert (where.standing.phase, "desk-work" in where.standing.checklist) == (Phase.LAPSED, True)
    assert (seen(house).desk_day, seen(house).next_desk_day) == (False, on(23))


def test_desk_work_set_aside_makes_every_day_a_desk_day(house: House) -> None:
    live(house, 2).mark(2, "desk-work")
    steps.set_aside(house.context, HOME, "desk-work")
    add(house, "tax", "2027-01-10")  # comfortable on day 4
    assert [listed(live(house, day)) for day in (3, 4, 5)] == [[], ["tax 2027-01-10"], ["tax 2027-01-10"]]


def test_the_put_off_job_of_its_day_is_the_oldest_or_the_one_picked(house: House) -> None:
    for name in ("Mirror", "Tap"):
        found = todos.add(house.context, HOME, name, "put-off")
    shown = put_off(live(house, 2))
    assert shown is not None
    assert shown.picked is not None
    assert (shown.picked.title, [one.title for one in shown.others]) == ("Mirror", ["Tap"])
    todos.pick(house.context, HOME, found.put_off[1].id)
    shown = put_off(house)
    assert shown is not None
    assert shown.picked is not None
    assert (shown.picked.title, [one.title for one in shown.others]) == ("Tap", ["Mirror"])


def test_its_day_says_so_when_nothing_is_put_off(house: House) -> None:
    shown = put_off(live(house, 2))
    assert shown is not None
    assert (shown.picked, shown.others) == (None, ())


def test_on_other_days_there_is_no_put_off_job_and_no_errand(house: House) -> None:
    todos.add(house.context, HOME, "Mirror", "put-off")
    todos.add(house.context, HOME, "Stamps", "errand")
    for day, step in ((2, "desk-work"), (2, "put-off-job"), (5, "errand-run")):
        live(house, day).mark(day, step)
    live(house, 6)
    assert (put_off(house), errands(house)) == (None, None)


def test_put_off_jobs_show_on_desk_work_days(house: House) -> None:
    todos.add(house.context, HOME, "Mirror", "put-off")
    house.mark(1, "put-off-job")
    live(house, 9).mark(9, "put-off-job")
    shown = put_off(live(house, 9))
    assert shown is not None
    assert shown.picked is not None
    assert shown.picked.title == "Mirror"


ANY_COURSE = a_course(
    a_step("bed", 1),
    a_step("letters", repeats="FREQ=WEEKLY;BYDAY=TU", waits=False, works_in="desk"),
    a_step("bank", repeats="FREQ=WEEKLY;BYDAY=FR", waits=False, works_in="desk"),
    a_step("town", repeats="FREQ=WEEKLY;BYDAY=SA", waits=False, works_in="errands"),
)


@pytest.fixture
def any_course() -> House:
    """Letters on Tuesdays, the bank on Fridays, town on Saturdays, all marked on day 1."""
    house = House(ANY_COURSE).begun()
    for step in ("letters", "bank", "town"):
        house.mark(1, step)
    return house


def test_every_date_of_every_step_that_works_at_the_desk_is_a_desk_day(any_course: House) -> None:
    days = []
    for day in range(2, 9):
        found = seen(live(any_course, day))
        days.append((found.desk_day, found.next_desk_day))
        for step in ("letters", "bank"):
            any_course.mark(day, step)
    assert [is_one for is_one, _ in days] == [True, False, False, True, False, False, False]
    assert [following for _, following in days][:4] == [on(5), on(5), on(5), on(9)]


def test_one_of_two_desk_steps_set_aside_leaves_the_other(any_course: House) -> None:
    live(any_course, 2).mark(2, "letters")
    steps.set_aside(any_course.context, HOME, "bank")
    found = seen(live(any_course, 3))
    assert (found.desk_day, found.next_desk_day) == (False, on(9))


def test_the_part_a_step_works_in_says_where_errands_and_put_off_jobs_show(any_course: House) -> None:
    todos.add(any_course.context, HOME, "Stamps", "errand", "Kiosk")
    shows = []
    for day in range(2, 8):
        live(any_course, day)
        shows.append((put_off(any_course) is not None, errands(any_course) is not None))
        for step in ("letters", "bank", "town"):
            any_course.mark(day, step)
    assert shows == [
        (True, False),
        (False, False),
        (False, False),
        (True, False),
        (False, True),
        (False, False),
    ]


def test_the_errand_run_shows_errands_by_place(house: House) -> None:
    todos.add(house.context, HOME, "Stamps", "errand", "Post office")
    shown = errands(live(house, 5))
    assert shown is not None
    assert [(place.place, place.todos[0].title) for place in shown] == [("Post office", "Stamps")]
