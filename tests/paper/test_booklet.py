"""A course's booklet: its steps in the order of delivery, with everything that stands beside a lesson."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from coach.coaching.library import FolderLibrary
from coach.errors import Unknown
from coach.paper import booklet as service
from coach.progress.delivery import delivery
from habits.house import HOT, House
from progress.living import a_course, a_step

if TYPE_CHECKING:
    from coach.paper.answers import Booklet

COURSE = a_course(
    a_step("late", 1, after=["bed"]),
    a_step("bed", 2, minutes=2, cue="after getting up", small="A pull", slot="morning"),
    a_step("job", 1, after=["late"], repeats="FREQ=WEEKLY;BYDAY=SA", waits=False, caution="hot"),
)


def found(house: House) -> Booklet:
    return service.booklet(house.context, "three-weeks")


def test_the_steps_stand_in_the_order_in_which_their_first_lessons_come() -> None:
    booklet = found(House(COURSE))
    assert [step.step for step in booklet.steps] == ["bed", "late", "job"]
    days = [step.day for step in booklet.steps]
    assert days[0] == 1
    assert days == sorted(day for day in days if day is not None)


def test_a_step_has_its_lessons_in_their_order_and_what_stands_beside_them() -> None:
    bed, _, job = found(House(COURSE)).steps
    assert [(lesson.number, lesson.title) for lesson in bed.lessons] == [(1, "bed 1"), (2, "bed 2")]
    assert (bed.cue, bed.small, bed.minutes, bed.slot) == ("after getting up", "A pull", 2, "morning")
    assert (bed.repeats_text, job.repeats_text) == ("every day", "every Saturday")
    assert bed.caution is None
    assert job.caution is not None
    assert job.caution.title == HOT.title


def test_a_step_that_does_not_come_by_day_90_stands_last_without_a_day() -> None:
    seldom = a_step("seldom", 1, after=["bed"], repeats="FREQ=MONTHLY", settles={"kept": 9, "of": 9})
    last = a_step("last", 1, after=["seldom"])
    booklet = found(House(a_course(last, seldom, a_step("bed", 1))))
    assert (booklet.steps[-1].step, booklet.steps[-1].day) == ("last", None)


def test_the_shipped_course_has_every_lesson_once_and_its_days_are_those_of_delivery() -> None:
    lessons = FolderLibrary()
    course = lessons.course("three-weeks")
    context = replace(House().context, library=lessons)
    booklet = service.booklet(context, "three-weeks")
    told = [(lesson.step, lesson.number) for step in booklet.steps for lesson in step.lessons]
    assert sorted(told) == sorted((step.id, n + 1) for step in course.steps for n in range(len(step.lessons)))
    days = delivery(course)
    assert days is not None
    assert all(step.day == days.days[step.step, 1] for step in booklet.steps)
    assert booklet.ramp_days == 21


def test_it_is_worked_out_once_until_a_lesson_changes() -> None:
    house = House(COURSE)
    first = found(house)
    assert found(house) is first
    house.shelf.put(replace(COURSE, title="Other"))
    assert found(house).title == "Other"


def test_a_course_that_there_is_not_is_unknown() -> None:
    context = replace(House().context, library=FolderLibrary())
    with pytest.raises(Unknown):
        service.booklet(context, "nothing")
