"""On which day each lesson of a course comes when everything is kept, and which come too late."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.progress import delivery as deliveries
from coach.progress.delivery import LAST_DAY, Delivery, delivery
from progress.living import a_course, a_step, days, lived, marks, start

if TYPE_CHECKING:
    import pytest


def test_the_lessons_come_as_they_would_for_a_household_that_keeps_everything() -> None:
    course = a_course(a_step("bed", 4), a_step("cups", 3, after=["bed"]))
    found = delivery(course)
    assert found is not None
    rows = [*start(), *marks("kept", days(1, 9), "bed"), *marks("kept", days(3, 9), "cups")]
    assert found.days == {day.lesson: number for number, day in lived(course, rows, 7).items()}
    assert found.late == ()


def test_a_course_with_more_lessons_than_days_names_those_that_come_too_late() -> None:
    course = a_course(a_step("bed", 60), a_step("cups", 40, after=["bed"]))
    found = delivery(course)
    assert found is not None
    assert len(found.days) == LAST_DAY
    assert found.late == tuple(("bed", number) for number in range(51, 61))


def test_the_lessons_of_a_step_that_comes_too_late_do_too() -> None:
    slow = a_step("bed", settles={"kept": 95, "of": 95})
    found = delivery(a_course(slow, a_step("cups", 2, after=["bed"])))
    assert found == Delivery({}, (("cups", 1), ("cups", 2)))


def test_days_without_a_lesson_of_a_step_do_not_end_the_look() -> None:
    course = a_course(a_step("bed", 1, settles={"kept": 9, "of": 9}), a_step("cups", 1, after=["bed"]))
    assert delivery(course) == Delivery({("bed", 1): 1, ("cups", 1): 10}, ())


def test_of_a_course_too_large_nothing_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(deliveries, "MOST_LOOKED_AT", 2 * LAST_DAY)
    assert delivery(a_course("bed", "cups")) is not None
    assert delivery(a_course("bed", "cups", "door")) is None
