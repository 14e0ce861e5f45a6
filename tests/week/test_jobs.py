"""A weekday job at work: its lines, its timer, its open occurrence."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

import pytest

from coach.errors import Malformed, NotEditable, NotStarted, Unknown
from coach.habits import pauses, steps
from coach.week import jobs
from coach.week.jobs import WantedLine
from habits import marking
from habits.house import HOME, House
from progress.living import on
from week.house import COURSE, day_of, settled

if TYPE_CHECKING:
    from coach.week.answers import Job

SATURDAY = 20  # 23 January 2027: rooms is due
OPEN = frozenset((day, "rooms") for day in range(SATURDAY, 27))


def job(house: House, step: str = "rooms") -> Job:
    return jobs.job(house.context, HOME, step)


def states(found: Job) -> list[str | None]:
    return [line.state for line in found.lines]


def titles(found: Job) -> list[str]:
    return [line.title for line in found.lines]


def test_on_its_day_the_job_opens_with_its_lines() -> None:
    found = job(settled(SATURDAY))
    assert [(line.line, line.title, line.minutes, line.state) for line in found.lines] == [
        ("1", "Dust", 10, None), ("2", "Vacuum", 10, None), ("3", "Mop", 10, None)
    ]  # fmt: skip
    assert (found.open_since, found.open_until, found.next) == (on(20), on(26), on(27))
    assert (found.stop_after, found.lines_minutes, found.own_lines) == (60, 30, False)


def test_it_stays_open_on_later_days_of_its_week_and_its_mark_counts_there() -> None:
    house = settled(23, unmarked=OPEN)
    assert (job(house).open_since, job(house).open_until) == (on(SATURDAY), on(26))
    marking.mark(house.context, HOME, on(23), "rooms", "kept")
    assert job(house).mark == "kept"
    house.at(24)
    assert (job(house).open_since, job(house).next) == (None, on(27))
    assert [one.closed for one in day_of(house, SATURDAY, "2027-W03").jobs] == ["kept"]


def test_ticks_are_for_the_people_at_work_and_count_for_nothing() -> None:
    house = settled(SATURDAY)
    log = house.rows()
    for line in ("1", "2", "3"):
        found = jobs.tick(house.context, HOME, "rooms", line, "done")
    assert (states(found), found.done, found.mark) == (["done"] * 3, 3, None)
    assert house.rows() == log
    assert states(jobs.tick(house.context, HOME, "rooms", "2", None)) == ["done", None, "done"]


def test_ticks_hold_for_their_occurrence_alone() -> None:
    house = settled(27, unmarked=OPEN)
    house.at(SATURDAY)
    jobs.tick(house.context, HOME, "rooms", "1", "done")
    house.at(22)
    assert states(job(house)) == ["done", None, None]
    house.at(27)
    assert (job(house).open_since, states(job(house))) == (on(27), [None] * 3)


def test_a_line_left_for_the_next_time_is_remembered_until_it_is_done() -> None:
    house = settled(42, unmarked=frozenset())
    house.at(SATURDAY)
    jobs.tick(house.context, HOME, "rooms", "3", "later")
    assert states(job(house)) == [None, None, "later"]
    assert job(house).lines[2].left_on is None  # it was left this time, and not before
    house.at(SATURDAY + 1)
    assert (job(house).open_since, job(house).lines[2].left_on) == (None, on(SATURDAY))
    house.at(27)
    assert [line.left_on for line in job(house).lines] == [None, None, on(SATURDAY)]
    house.at(34)
    assert job(house).lines[2].left_on == on(SATURDAY)
    jobs.tick(house.context, HOME, "rooms", "3", "done")
    house.at(41)
    assert job(house).lines[2].left_on is None


@pytest.mark.parametrize(("later", "remembered"), [(99, True), (100, True), (101, False)])
def test_a_line_left_is_remembered_for_a_hundred_days(later: int, remembered: bool) -> None:  # noqa: FBT001  a case
    house = settled(SATURDAY)
    jobs.tick(house.context, HOME, "rooms", "3", "later")
    found = job(house.at(SATURDAY + later))
    assert (found.lines[2].left_on == on(SATURDAY)) == remembered


def test_what_is_not_open_is_neither_ticked_nor_timed() -> None:
    house = settled(SATURDAY + 1)
    with pytest.raises(NotEditable, match="comes next on Saturday 30 January 2027"):
        jobs.tick(house.context, HOME, "rooms", "1", "done")
    with pytest.raises(NotEditable, match="comes next on Saturday 30 January 2027"):
        jobs.start_timer(house.context, HOME, "rooms")


def test_a_page_left_open_since_the_last_time_ticks_nothing_of_this_one() -> None:
    house = settled(27, unmarked=OPEN)
    with pytest.raises(NotEditable, match="of Saturday 23 January 2027 is over"):
        jobs.tick(house.context, HOME, "rooms", "1", "done", on(SATURDAY))
    assert states(jobs.tick(house.context, HOME, "rooms", "1", "done", on(27)))[0] == "done"


def test_while_away_nothing_is_open() -> None:
    house = settled(SATURDAY)
    pauses.pause(house.context, HOME)
    assert job(house).open_since is None


@pytest.mark.parametrize(
    ("step", "line", "said"),
    [("rooms", "9", "no line “9”"), ("bed", "1", "more often than weekly"), ("moon", "1", "no step “moon”")],
)
def test_unknown_jobs_and_lines_are_named(step: str, line: str, said: str) -> None:
    with pytest.raises(Unknown, match=said):
        jobs.tick(settled(SATURDAY).context, HOME, step, line, "done")


def test_before_the_start_there_are_no_jobs() -> None:
    with pytest.raises(NotStarted):
        jobs.jobs(House(COURSE).context, HOME)


def test_the_timer_is_an_instant_and_survives_a_restart() -> None:
    house = settled(SATURDAY)
    house.at(SATURDAY, "10:00")
    started = jobs.start_timer(house.context, HOME, "rooms").timer
    assert started
    assert (started.state, started.minutes_left, started.ends_text) == ("running", 60, "11:00")
    house.memo.forget()  # as another process would: all it has is what is stored
    house.now += timedelta(minutes=18, seconds=1)
    later = job(house).timer
    assert later
    assert (later.state, later.minutes_left, later.seconds_left) == ("running", 42, 2519)
    assert (later.started_at, later.ends_at) == (started.started_at, started.ends_at)
    assert later.ends_at == datetime(2027, 1, 23, 11, tzinfo=UTC)
    house.now += timedelta(hours=1)
    over = job(house).timer
    assert over
    assert (over.state, over.minutes_left) == ("over", 0)


def test_a_running_timer_is_not_started_again_and_one_that_is_over_is() -> None:
    house = settled(SATURDAY)
    first = jobs.start_timer(house.context, HOME, "rooms").timer
    house.now += timedelta(minutes=30)
    running = jobs.start_timer(house.context, HOME, "rooms").timer
    house.now += timedelta(minutes=31)
    again = jobs.start_timer(house.context, HOME, "rooms").timer
    assert first
    assert running
    assert again
    assert (running.started_at, again.started_at) == (first.started_at, house.now)


def test_a_timer_is_stopped() -> None:
    house = settled(SATURDAY)
    jobs.start_timer(house.context, HOME, "rooms")
    for _ in range(2):
        found = jobs.stop_timer(house.context, HOME, "rooms").timer
        assert found
        assert (found.state, found.started_at) == ("ready", None)


def test_the_timer_says_its_end_by_the_clock_on_the_wall() -> None:
    house = settled(SATURDAY)
    with house.store.writing(HOME) as writing:
        writing.settings("Asia/Kathmandu", house.now.time().replace(hour=3))
    found = jobs.start_timer(house.context, HOME, "rooms").timer
    assert found
    assert found.ends_text == "18:45"


def test_a_job_without_lines_is_a_job_too() -> None:
    house = settled(16)
    found = job(house, "desk")
    assert (found.lines, found.stop_after) == ((), 15)
    assert found.timer
    assert found.timer.state == "ready"


def test_lines_are_changed_reordered_and_taken_back() -> None:
    house = settled(SATURDAY)
    jobs.tick(house.context, HOME, "rooms", "1", "done")
    wanted = [
        WantedLine("3", "Mop the kitchen", 15),
        WantedLine(None, "Bins", 5),
        WantedLine("1", "Dust", 10),
    ]
    found = jobs.change_lines(house.context, HOME, "rooms", wanted, 45)
    assert titles(found) == ["Mop the kitchen", "Bins", "Dust"]
    assert (states(found), found.stop_after, found.own_lines) == ([None, None, "done"], 45, True)
    back = jobs.restore_lines(house.context, HOME, "rooms")
    assert (titles(back), states(back)) == (["Dust", "Vacuum", "Mop"], ["done", None, None])
    assert (back.stop_after, back.own_lines) == (60, False)


def test_a_new_line_never_takes_over_the_ticks_of_one_that_went() -> None:
    house = settled(SATURDAY)
    bins = [WantedLine(None, "Bins", 5)]
    jobs.change_lines(house.context, HOME, "rooms", bins, 45)
    jobs.tick(house.context, HOME, "rooms", "4", "done")
    jobs.restore_lines(house.context, HOME, "rooms")
    found = jobs.change_lines(house.context, HOME, "rooms", [WantedLine(None, "Windows", 5)], 45)
    assert [(line.line, line.state) for line in found.lines] == [("5", None)]


def test_lines_can_be_changed_on_days_when_nothing_is_open() -> None:
    house = settled(SATURDAY + 1)
    found = jobs.change_lines(house.context, HOME, "desk", [WantedLine(None, "Post", 5)], None)
    assert (titles(found), found.timer) == (["Post"], None)


def test_lines_that_cannot_be_are_refused_whole() -> None:
    house = settled(SATURDAY)
    with pytest.raises(Malformed):
        jobs.change_lines(
            house.context, HOME, "rooms", [WantedLine("1", "Dust", 10), WantedLine(None, "", 5)], 45
        )
    assert titles(job(house)) == ["Dust", "Vacuum", "Mop"]


def test_a_job_without_an_end_has_no_timer() -> None:
    house = settled(16)
    jobs.change_lines(house.context, HOME, "desk", [], None)
    with pytest.raises(NotEditable, match="no end to time"):
        jobs.start_timer(house.context, HOME, "desk")


def test_all_jobs_are_those_that_have_come_and_are_not_set_aside() -> None:
    house = settled(SATURDAY)
    steps.set_aside(house.context, HOME, "bags")
    assert [one.step for one in jobs.jobs(house.context, HOME)] == ["rooms", "desk", "filter", "accounts"]
    assert jobs.jobs(house.context, HOME)[0] == job(house)


def test_a_job_still_to_come_says_what_it_waits_for() -> None:
    found = job(settled(2), "filter")
    assert (found.state, found.open_since, found.next) == ("ahead", None, None)
