"""What a household keeps of a weekday job goes on when the job gets another id."""

from __future__ import annotations

from dataclasses import replace

import pytest

from coach.errors import NotEditable
from coach.ground.situation import looking
from coach.week import jobs, moves
from coach.week.jobs import WantedLine
from coach.week.moves import moved_last
from habits.house import HOME, House
from progress.living import a_course, on
from week.house import COURSE, seen, settled

RENAMED = a_course(
    *(replace(step, id="round", formerly=("rooms",)) if step.id == "rooms" else step for step in COURSE.steps)
)
SATURDAY = 27


def saturday() -> House:
    """A house on a Saturday on which the rooms are due, with lines of its own."""
    house = settled(SATURDAY)
    lines = [WantedLine(None, "Stairs", 5), WantedLine(None, "Windows", 9)]
    jobs.change_lines(house.context, HOME, "rooms", lines, 20)
    return house


def test_its_lines_ticks_and_timer_go_on() -> None:
    house = saturday()
    first = jobs.job(house.context, HOME, "rooms").lines[0].line
    jobs.tick(house.context, HOME, "rooms", first, "done")
    jobs.start_timer(house.context, HOME, "rooms")
    house.shelf.put(RENAMED)
    job = jobs.job(house.context, HOME, "round")
    assert [(line.title, line.state) for line in job.lines] == [("Stairs", "done"), ("Windows", None)]
    assert job.own_lines
    assert job.timer is not None
    assert job.timer.state == "running"
    assert jobs.job(house.context, HOME, "rooms") == job


def test_what_was_ticked_and_timed_before_can_be_taken_back() -> None:
    house = saturday()
    first, second = (line.line for line in jobs.job(house.context, HOME, "rooms").lines)
    jobs.tick(house.context, HOME, "rooms", first, "done")
    jobs.start_timer(house.context, HOME, "rooms")
    house.shelf.put(RENAMED)
    jobs.tick(house.context, HOME, "rooms", first, None)
    jobs.tick(house.context, HOME, "rooms", second, "later")
    job = jobs.stop_timer(house.context, HOME, "round")
    assert [line.state for line in job.lines] == [None, "later"]
    assert job.timer is not None
    assert job.timer.state == "ready"


def test_lines_changed_since_win_over_those_before_and_so_do_the_shipped_ones() -> None:
    house = saturday()
    house.shelf.put(RENAMED)
    jobs.change_lines(house.context, HOME, "rooms", [WantedLine(None, "Hall", 3)], None)
    assert [line.title for line in jobs.job(house.context, HOME, "round").lines] == ["Hall"]
    shipped = jobs.restore_lines(house.context, HOME, "rooms")
    assert [line.title for line in shipped.lines] == ["Dust", "Vacuum", "Mop"]
    assert not shipped.own_lines


def test_a_job_moved_before_can_be_put_back_and_moved_by_its_former_id() -> None:
    house = settled(SATURDAY - 2)
    moves.move(house.context, HOME, "rooms", on(SATURDAY), on(SATURDAY - 1))
    house.shelf.put(RENAMED)
    with looking(house.context, HOME) as where:
        assert [one.step for one in moved_last(where)] == ["round"]
    moves.undo(house.context, HOME)
    assert jobs.job(house.context, HOME, "round").next == on(SATURDAY)
    moves.move(house.context, HOME, "rooms", on(SATURDAY), on(SATURDAY - 1))
    assert house.written()[-1].split()[:3] == ["25", "adjust", "round"]
    with pytest.raises(NotEditable):
        jobs.tick(house.context, HOME, "round", "1", "done")


def test_an_occurrence_that_is_open_across_the_change_stays_open_and_closes_as_it_is_marked() -> None:
    house = settled(SATURDAY + 1, unmarked=frozenset({(SATURDAY, "rooms")}))
    before = seen(house).days
    house.shelf.put(RENAMED)
    saturday, sunday = seen(house).days[5:]
    assert saturday.jobs == before[5].jobs
    assert [(one.step, one.since, one.closed) for one in sunday.earlier] == [("round", on(SATURDAY), None)]
    house.mark(SATURDAY + 1, "rooms")
    saturday, sunday = seen(house).days[5:]
    assert [(one.step, one.closed) for one in saturday.jobs] == [("rooms", "kept")]
    assert [(one.step, one.closed) for one in sunday.earlier] == [("round", "kept")]
    house.at(SATURDAY + 2)
    assert [one.closed for one in seen(house, before[0].date.strftime("%G-W%V")).days[5].jobs] == ["kept"]
