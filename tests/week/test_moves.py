"""Jobs moved to other days, and the way back."""

from __future__ import annotations

import pytest

from coach.errors import Malformed, NotEditable, Unknown
from coach.habits import path, steps
from coach.household import settings
from coach.progress.replay import replay
from coach.week import moves as week_moves
from habits import marking
from habits.house import HOME, House
from progress.living import a_course, a_step, on
from progress.living import marks as marks_of
from week.house import day_of, jobs_of, seen, settled

TUESDAY = 23  # 26 January 2027; rooms is due on 27 (Saturday), filter on 26, accounts on 28
NEXT_WEEK = "2027-W05"


def rule(house: House, step: str) -> str:
    return path.step(house.context, HOME, step).repeats


def move(house: House, step: str, day: int, to: int) -> str:
    return week_moves.move(house.context, HOME, step, on(day), on(to))


def test_a_moved_job_comes_on_its_new_day_in_every_week() -> None:
    house = settled(TUESDAY)
    assert move(house, "rooms", 27, 25) == "2027-W04"
    assert rule(house, "rooms") == "FREQ=WEEKLY;BYDAY=TH"
    assert [jobs_of(day_of(house, day)) for day in (25, 27)] == [[("rooms", None)], []]
    assert jobs_of(day_of(house, 32, NEXT_WEEK)) == [("rooms", None)]
    assert house.written()[-1] == '23 adjust rooms {"repeats":"FREQ=WEEKLY;BYDAY=TH"}'


def test_a_job_moved_to_a_day_gone_by_comes_from_the_next_week_on() -> None:
    house = settled(TUESDAY)
    move(house, "rooms", 27, 22)
    (moved,) = seen(house).moved
    assert (moved.step, moved.repeats_text, moved.next) == ("rooms", "every Monday", on(29))
    assert all("rooms" not in {job.step for job in day.jobs} for day in seen(house).days)


def test_a_job_that_was_kept_on_its_day_is_not_moved_to_a_second_one_in_the_week() -> None:
    house = settled(TUESDAY).at(26)
    house.mark(26, "filter")
    house.at(27)
    with pytest.raises(NotEditable, match="of Friday 29 January is over"):
        move(house, "filter", 26, 28)
    assert [jobs_of(day_of(house, day)) for day in (26, 28)] == [[("filter", "kept")], [("accounts", None)]]


def test_every_other_week_stays_every_other_week() -> None:
    house = settled(TUESDAY)
    move(house, "bags", 35, 30)
    assert rule(house, "bags") == "FREQ=WEEKLY;INTERVAL=2;BYDAY=TU"
    assert ("bags", None) in jobs_of(day_of(house, 30, NEXT_WEEK))
    assert ("bags", None) not in jobs_of(day_of(house, 37, "2027-W06"))


def fortnightly_in_sunday_weeks() -> House:
    """A job of every other Sunday, introduced on Thursday, day 4; the household's weeks begin on Sunday."""
    bags = a_step("bags", repeats="FREQ=WEEKLY;INTERVAL=2;BYDAY=SU", waits=False)
    house = House(a_course(a_step("bed"), bags)).at(4).begun("bags").at(18)
    settings.change(house.context, HOME, week_starts="sunday")
    return house


@pytest.mark.parametrize("to", range(22, 28))
def test_every_other_week_a_job_moved_within_a_sunday_week_comes_on_the_day_chosen(to: int) -> None:
    house = fortnightly_in_sunday_weeks()
    move(house, "bags", 21, to)
    coming = [f"2027-W{week:02}" for week in range(4, 8)]
    falling = [day.date for name in coming for day in seen(house, name).days if day.jobs]
    assert falling == [on(to), on(to + 14)]
    week_moves.undo(house.context, HOME)
    assert rule(house, "bags") == "FREQ=WEEKLY;INTERVAL=2;BYDAY=SU"


def test_a_job_moved_to_the_weekday_it_was_introduced_on_is_due_there_as_it_was_shown() -> None:
    house = fortnightly_in_sunday_weeks()
    move(house, "bags", 21, 25)
    assert rule(house, "bags") == "DTSTART:20261228 RRULE:FREQ=WEEKLY;INTERVAL=2;BYDAY=TH"
    rows = [*house.rows(), *marks_of("kept", range(5, 60), "bed", "bags")]
    due = [day for day in range(19, 60) if "bags" in replay(house.shelf.course(""), rows, on(day)).checklist]
    assert due == [25, 39, 53]


def test_a_move_back_to_the_old_day_is_one_tap() -> None:
    house = settled(TUESDAY)
    move(house, "rooms", 27, 25)
    week_moves.undo(house.context, HOME)
    assert rule(house, "rooms") == "FREQ=WEEKLY;BYDAY=SA"
    assert seen(house).moved == ()
    with pytest.raises(NotEditable, match="No move is left"):
        week_moves.undo(house.context, HOME)


def test_a_job_changed_again_since_is_left_as_it_is() -> None:
    house = settled(TUESDAY)
    move(house, "rooms", 27, 25)
    steps.adjust(house.context, HOME, "rooms", {"repeats": "FREQ=WEEKLY;BYDAY=FR"})
    assert seen(house).moved == ()
    with pytest.raises(NotEditable):
        week_moves.undo(house.context, HOME)


def test_undoing_is_offered_for_a_week() -> None:
    house = settled(TUESDAY)
    move(house, "rooms", 27, 25)
    assert seen(house.at(TUESDAY + 6)).moved
    assert not seen(house.at(TUESDAY + 7)).moved


def test_a_job_marked_today_is_not_moved_from_under_its_mark() -> None:
    house = settled(TUESDAY)
    marking.mark(house.context, HOME, on(TUESDAY), "desk", "kept")
    before = house.rows()
    with pytest.raises(NotEditable, match="marked today"):
        move(house, "desk", TUESDAY, 25)
    assert house.rows() == before
    assert day_of(house, TUESDAY).jobs[0].days == ()


@pytest.mark.parametrize(
    ("step", "day", "to", "error", "said"),
    [
        ("rooms", 20, 18, NotEditable, "can only be read"),
        ("rooms", 27, 32, Malformed, "not in the week"),
        ("rooms", 25, 27, Malformed, "does not fall on Thursday 28 January"),
        ("rooms", 27, 27, NotEditable, "cannot be moved to Saturday"),
        ("accounts", 28, 27, NotEditable, "the last day of every month, which cannot be moved"),
        ("bed", 24, 25, Unknown, "more often than weekly"),
        ("moon", 24, 25, Unknown, "no step “moon”"),
    ],
)
def test_a_move_that_cannot_be_says_why_and_writes_nothing(
    step: str, day: int, to: int, error: type[Exception], said: str
) -> None:
    house = settled(TUESDAY)
    before = house.rows()
    with pytest.raises(error, match=said):
        move(house, step, day, to)
    assert house.rows() == before


def test_the_days_offered_are_those_a_job_can_go_to() -> None:
    house = settled(TUESDAY)
    (rooms,) = day_of(house, 27).jobs
    assert rooms.days == tuple(on(day) for day in range(22, 29) if day != 27)
    assert day_of(house, 28).jobs[0].days == ()  # the last day of the month is no weekday
    for to in rooms.days:
        week_moves.move(house.context, HOME, "rooms", on(27), to)
        week_moves.undo(house.context, HOME)
