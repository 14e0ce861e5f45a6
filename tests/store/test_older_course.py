"""A household in the middle of an older course keeps its days, steps, states and lessons, and goes on."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

import pytest

from coach.coaching.library import find_course
from store.older_course import FIRST, TODAY, days_told, house_of, steps_told, told_before

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from web.house import House

COURSE = find_course("three-weeks")
NOW_CALLED = {old: step.id for step in COURSE.steps for old in step.formerly}
YESTERDAY = TODAY - timedelta(days=1)


@pytest.fixture
def house(tmp_path: Path) -> Iterator[House]:
    house = house_of(tmp_path)
    yield house
    house.close()


def steps_before() -> dict[str, str]:
    """What stood of each step that came before today, by the name it has now."""
    lines = (line.split(" ", 1) for line in told_before()[1])
    return {NOW_CALLED.get(step, step): said for step, said in lines if f" {TODAY} " not in said}


def test_every_day_is_told_as_it_was(house: House) -> None:
    assert list(days_told(house, YESTERDAY)) == told_before()[0][:-1]


def test_every_step_that_has_come_stands_as_it_stood(house: House) -> None:
    after, before = steps_told(house), steps_before()
    assert len(before) == 14
    assert {step: after.get(step) for step in before} == before


def test_a_job_that_was_renamed_is_there_once(house: House) -> None:
    steps = [step["step"] for step in house.http.get("/api/path").json()["steps"]]
    assert len(set(steps)) == len(steps)
    assert {"dry-round", "papers", "area-time", "out-and-back"} <= set(steps)
    assert not set(steps) & set(NOW_CALLED)


def test_a_step_that_left_the_course_stays_with_its_lessons(house: House) -> None:
    for step in ("dishes-away", "clear-surface", "things-by-door", "put-off-job"):
        view = house.http.get(f"/api/steps/{step}").json()
        assert view["lessons"], step
        assert view["state"] in {"practising", "settled"}
    assert {"dishes-away", "clear-surface"} <= {line["step"] for line in house.day()["checklist"]}


def test_a_day_before_the_change_can_still_be_marked_by_its_names(house: House) -> None:
    assert house.mark("once-over", "missed", ago=1)["editable"]
    assert steps_told(house)["dry-round"].split()[3] == "1/2"


def test_a_mark_under_the_former_name_counts_for_the_step(house: House) -> None:
    house.mark("desk-work")
    marked = {line["step"]: line["mark"] for line in house.day()["checklist"]}
    assert marked.get("papers") == "kept" or steps_told(house)["papers"].split()[3] == "1/1"


def test_lessons_already_read_are_not_read_again_and_all_come(house: House) -> None:
    read: set[tuple[str, str]] = set()
    for ahead in range((TODAY - FIRST).days):
        read |= lesson_of(house.http.get(f"/api/days/{FIRST + timedelta(days=ahead)}").json())
    begun = len(read)
    for _ in range(80):
        for line in house.day()["checklist"]:
            house.mark(line["step"])
        found = lesson_of(house.day())
        assert not found & read
        read |= found
        house.sleep()
    assert begun > 15
    assert house.day()["phase"] == "steady"
    course = {(step.id, lesson.title) for step in COURSE.steps for lesson in step.lessons}
    came_anew = {step.id for step in COURSE.steps} - set(steps_before())
    assert {one for one in course if one[0] in came_anew} <= read


def lesson_of(day: dict[str, object]) -> set[tuple[str, str]]:
    """The day's lesson, if it is a step's."""
    lesson = day["lesson"]
    assert isinstance(lesson, dict)
    return {(lesson["step"], lesson["title"])} if lesson["step"] else set()


@pytest.mark.parametrize(
    "path", ["/today", "/path", "/week", "/areas", "/areas/week", "/dinner", "/desk", "/shopping", "/data"]
)
def test_every_page_is_shown(house: House, path: str) -> None:
    assert house.http.get(path).status_code == 200
