"""The week: what was due and how it closed, what is coming, and minutes against those available."""

from __future__ import annotations

import json
from datetime import date, timedelta
from typing import TYPE_CHECKING

import pytest

from coach.errors import Malformed, NotStarted, OutOfRange
from coach.ground.plan_rows import PlanRow
from coach.ground.situation import situation
from coach.habits import pauses, steps
from coach.habits.day import day as day_on
from coach.progress.log import Row, What
from coach.week import days as week
from habits import marking
from habits.house import HOME, House
from progress.living import on
from week.house import COURSE, day_of, jobs_of, seen, settled

if TYPE_CHECKING:
    from coach.week.answers import ClosedName

TUESDAY = 23  # 26 January 2027
LAST_WEEK, NEXT_WEEK = "2027-W03", "2027-W05"


def test_a_week_has_seven_dates_from_monday_and_its_name() -> None:
    found = seen(settled(TUESDAY))
    assert [day.date for day in found.days] == [
        date(2027, 1, 25) + timedelta(days=ahead) for ahead in range(7)
    ]
    assert [day.weekday for day in found.days] == ["MO", "TU", "WE", "TH", "FR", "SA", "SU"]
    assert (found.week, found.current, found.editable) == ("2027-W04", True, True)
    assert (found.earlier, found.later) == (LAST_WEEK, NEXT_WEEK)


@pytest.mark.parametrize("day", [3, 9, 16, TUESDAY, 28])
def test_what_was_due_is_what_opened_on_the_day_itself(day: int) -> None:
    house = settled(day, unmarked=frozenset({(9, "desk"), (13, "rooms"), (4, "cups"), (20, "bed")}))
    names = {f"{on(one).isocalendar().year}-W{on(one).isocalendar().week:02}" for one in range(1, day + 1)}
    days = [one for name in sorted(names) for one in seen(house, name).days if one.date <= on(day)]
    for one in days:
        checklist = day_on(house.context, HOME, one.date).checklist
        opened = {line.step for line in checklist if line.open_since == one.date}
        assert {due.step for due in (*one.habits, *one.jobs)} == opened
    assert len(days) >= day


def test_habits_are_summed_and_jobs_stand_alone() -> None:
    saturday = day_of(settled(TUESDAY), 27)
    assert [habit.step for habit in saturday.habits] == ["bed", "cups"]
    assert (saturday.habit_minutes, saturday.minutes) == (7, 67)
    assert jobs_of(saturday) == [("rooms", None)]


def test_days_to_come_follow_each_rule_from_the_day_its_step_came() -> None:
    found = seen(settled(TUESDAY), NEXT_WEEK)
    jobs = {day.weekday: [job.step for job in day.jobs] for day in found.days if day.jobs}
    assert jobs == {"TU": ["desk"], "SA": ["rooms"], "SU": ["bags"]}
    assert [job.step for job in day_of(settled(TUESDAY), 26).jobs] == ["filter"]  # the last Friday of January


@pytest.mark.parametrize("mark", ["kept", "small", "missed", "excused"])
def test_a_past_day_shows_how_each_step_closed(mark: ClosedName) -> None:
    house = settled(16, unmarked=frozenset({(10, "bed"), *((day, "desk") for day in range(9, 16))}))
    marking.mark(house.context, HOME, on(10), "bed", mark)  # type: ignore[arg-type]  # all but one name are marks
    marking.mark(house.context, HOME, on(11), "desk", mark)  # type: ignore[arg-type]  # the same
    wednesday = day_of(house, 10, "2027-W02")
    assert [(habit.step, habit.closed) for habit in wednesday.habits if habit.step == "bed"] == [
        ("bed", mark)
    ]
    (desk,) = day_of(house, 9, "2027-W02").jobs
    assert (desk.closed, desk.closed_on) == (mark, on(11))
    (late,) = day_of(house, 11, "2027-W02").earlier
    assert (late.step, late.since, late.closed) == ("desk", on(9), mark)


def test_what_nobody_marked_closed_as_missed_on_the_day_before_it_came_again() -> None:
    house = settled(TUESDAY, unmarked=frozenset((day, "desk") for day in range(9, 16)))
    (desk,) = day_of(house, 9, "2027-W02").jobs
    assert (desk.closed, desk.closed_on) == ("missed", on(15))
    assert day_of(house, 9, "2027-W02").habits_kept == 2


def test_an_open_job_of_an_earlier_day_stands_on_today_and_counts_on_its_own_day_only() -> None:
    never = frozenset({(day, "rooms") for day in range(20, 24)})
    house = settled(24, unmarked=never)
    wednesday = day_of(house, 24)
    assert [(job.step, job.since, job.closed) for job in wednesday.earlier] == [("rooms", on(20), None)]
    assert wednesday.minutes == 10
    marking.mark(house.context, HOME, on(24), "rooms", "kept")
    assert [job.closed for job in day_of(house, 24).earlier] == ["kept"]
    (rooms,) = day_of(house, 20, LAST_WEEK).jobs
    assert (rooms.closed, rooms.closed_on) == ("kept", on(24))


def test_paused_days_show_nothing_due_and_what_was_open_is_not_counted() -> None:
    house = settled(16, unmarked=frozenset({(16, "desk")}))
    pauses.pause(house.context, HOME, on(18), on(20))
    house.at(22)
    found = {day.date: day for day in seen(house, LAST_WEEK).days}
    assert [found[on(day)].rest for day in range(17, 22)] == [None, "away", "away", "away", None]
    assert found[on(20)].jobs == found[on(20)].habits == ()
    (desk,) = found[on(16)].jobs
    assert (desk.closed, desk.closed_on) == ("forgotten", on(18))


def test_a_planned_pause_is_shown_on_the_days_to_come() -> None:
    house = settled(TUESDAY)
    pauses.pause(house.context, HOME, on(30), on(33))
    assert [day.rest for day in seen(house, NEXT_WEEK).days] == [
        None,
        "away",
        "away",
        "away",
        "away",
        None,
        None,
    ]
    assert seen(house, NEXT_WEEK).days[1].minutes == 0


def test_a_lapse_is_shown_on_its_days_and_said_about_those_to_come() -> None:
    house = settled(16).at(40)
    found = seen(house)
    assert found.lapsed
    assert [day.rest for day in found.days if day.date <= on(40)] == ["lapsed"] * 5
    assert [job.step for job in day_of(house, 41).jobs] == ["rooms"]


def test_the_days_before_the_start_and_weeks_before_it_are_told_apart() -> None:
    house = House(COURSE)
    house.at(3).begun()
    assert [day.rest for day in seen(house).days][:3] == ["before-start", "before-start", None]
    assert seen(house).earlier is None
    with pytest.raises(OutOfRange, match="before the start on 6 January 2027"):
        seen(house, "2026-W53")


def test_a_week_may_lie_up_to_ten_years_ahead() -> None:
    house = settled(3)
    assert seen(house, "2036-W52").editable
    with pytest.raises(OutOfRange, match="ten years ahead"):
        seen(house, "2038-W01")


@pytest.mark.parametrize(
    ("name", "said"),
    [("2027-W54", "has no week 54"), ("2027-W5", "such as 2027-W05"), ("soon", "not a week")],
)
def test_a_name_of_no_week_says_what_is_wrong(name: str, said: str) -> None:
    with pytest.raises(Malformed, match=said):
        seen(settled(3), name)


def test_past_weeks_offer_nothing_to_change() -> None:
    found = seen(settled(TUESDAY), LAST_WEEK)
    assert not found.editable
    assert not any(job.days for day in found.days for job in day.jobs)
    assert not any(day.overload or day.available for day in found.days)


def test_before_the_start_there_is_no_week() -> None:
    with pytest.raises(NotStarted):
        seen(House(COURSE))


def test_a_day_too_full_says_by_how_much_and_what_can_wait() -> None:
    house = settled(TUESDAY)
    week.set_available(house.context, HOME, {"SA": 42, "TU": 22})
    saturday, tuesday = day_of(house, 27), day_of(house, TUESDAY)
    assert saturday.overload_text == "Saturday is 25 minutes over."
    assert (saturday.overload, saturday.can_wait) == (25, ("rooms",))
    assert (tuesday.overload, tuesday.overload_text, tuesday.can_wait) == (0, None, ())
    assert day_of(house, 24).available is None


def test_a_marked_job_cannot_wait_any_more() -> None:
    house = settled(TUESDAY)
    week.set_available(house.context, HOME, {"TU": 5})
    marking.mark(house.context, HOME, on(TUESDAY), "desk", "kept")
    assert day_of(house, TUESDAY).can_wait == ()


def test_minutes_available_are_kept_changed_and_taken_away() -> None:
    house = settled(3)
    week.set_available(house.context, HOME, {"SA": 90, "SU": 60})
    found = week.set_available(house.context, HOME, {"SU": None, "MO": 0})
    assert found.minutes == {"MO": 0, "TU": None, "WE": None, "TH": None, "FR": None, "SA": 90, "SU": None}


@pytest.mark.parametrize(
    ("minutes", "said"),
    [({"SA": 1441}, "0 to 1440 minutes"), ({"SA": -1}, "-1"), ({"someday": 5}, "no weekday")],
)
def test_minutes_that_cannot_be_are_refused_and_nothing_is_kept(minutes: dict[str, int], said: str) -> None:
    house = settled(3)
    with pytest.raises(Malformed, match=said):
        week.set_available(house.context, HOME, {"MO": 30} | minutes)
    assert set(week.available(house.context, HOME).minutes.values()) == {None}


def test_the_load_is_the_weeks_minutes() -> None:
    house = settled(TUESDAY)
    week.set_available(house.context, HOME, {"SA": 42})
    found, load = seen(house), week.load(house.context, HOME)
    assert [(day.date, day.minutes, day.overload) for day in load.days] == [
        (day.date, day.minutes, day.overload) for day in found.days
    ]
    assert (load.overload, load.heaviest) == (25, 67)


def test_a_week_is_worked_out_anew_only_after_something_was_written() -> None:
    house = settled(TUESDAY)
    first = seen(house)
    assert seen(house) is first
    marking.mark(house.context, HOME, on(TUESDAY), "desk", "kept")
    assert jobs_of(day_of(house, TUESDAY)) == [("desk", "kept")]
    house.at(TUESDAY + 1)
    assert not day_of(house, TUESDAY + 1).past


def test_weeks_may_start_on_sunday() -> None:
    house = settled(TUESDAY)
    with house.store.writing(HOME) as writing:
        home = writing.household()
        assert home is not None
        writing.settings(home.zone, home.day_starts, "sunday")
    found = seen(house, "2027-W04")
    assert (found.first, found.last, found.week) == (date(2027, 1, 24), date(2027, 1, 30), "2027-W04")
    assert found.current


def test_a_change_to_come_that_is_already_written_is_seen_on_its_day() -> None:
    house = settled(TUESDAY)
    rule = json.dumps({"repeats": "FREQ=WEEKLY;BYDAY=TH"})
    with house.store.writing(HOME) as writing:
        writing.append([Row(on(29), What.ADJUST, "rooms", rule)], house.now)
    assert [job.step for job in day_of(house, 27).jobs] == ["rooms"]
    jobs = {day.weekday: [job.step for job in day.jobs] for day in seen(house, NEXT_WEEK).days if day.jobs}
    assert jobs == {"TU": ["desk"], "TH": ["rooms"], "SU": ["bags"]}


def test_a_step_set_aside_is_due_no_more() -> None:
    house = settled(TUESDAY)
    steps.set_aside(house.context, HOME, "rooms")
    assert day_of(house, 27).jobs == ()


def test_what_is_kept_about_the_week_is_what_the_plan_says() -> None:
    house = settled(3)
    week.set_available(house.context, HOME, {"SA": 90})
    with house.store.reading(HOME) as reading:
        assert situation(house.context, reading).values("available") == [("SA", 90)]
        assert reading.plan_history("available", "SA") == [PlanRow(on(3), "available", "SA", "90")]
