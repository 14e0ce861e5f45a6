"""The dry and the wet round of the shipped course against the order in which cleaning is commonly done.

Source: common practice, no source. Dry work comes before wet work, work goes from top to bottom, things are
lifted before dust is taken, and wet surfaces come before the mopped floor.
"""

from __future__ import annotations

import re
from datetime import date, timedelta
from itertools import pairwise

import pytest

from coach.coaching.library import find_course
from coach.course.recurrence import falls, next_fall
from coach.week.rules.jobs import plan_of

COURSE = find_course("three-weeks")
DRY, WET = "dry-round", "wet-round"

KINDS_OF_WORK = (
    ("lifting", r"^lift "),
    ("dusting", r"^dust"),
    ("the dry floor", r"^(vacuum|sweep)"),
    ("wet surfaces", r"basin|worktop|sink|tap|toilet"),
    ("the wet floor", r"^mop"),
)
"""Kinds of work in their order, and the words by which a line shows its own."""

MONDAY = date(2027, 1, 4)


def titles(step_id: str) -> list[str]:
    step = COURSE.step(step_id)
    assert step is not None
    return [line.title for line in plan_of(step).lines]


def kind_of_work(title: str) -> int:
    """Where a line's work stands in the order; a line that is of none or of several is refused."""
    found = [at for at, (_, words) in enumerate(KINDS_OF_WORK) if re.search(words, title.lower())]
    assert len(found) == 1, title
    return found[0]


def is_in_order(lines: list[str]) -> bool:
    return all(kind_of_work(one) <= kind_of_work(other) for one, other in pairwise(lines))


def test_dry_work_comes_before_wet_work_and_surfaces_before_their_floor() -> None:
    assert is_in_order([*titles(DRY), *titles(WET)])


def test_each_round_ends_with_a_floor() -> None:
    names = [KINDS_OF_WORK[kind_of_work(titles(step)[-1])][0] for step in (DRY, WET)]
    assert names == ["the dry floor", "the wet floor"]


def test_dust_is_taken_from_top_to_bottom() -> None:
    (dusting,) = (title.lower() for title in titles(DRY) if title.lower().startswith("dust"))
    assert 0 <= dusting.find("highest") < dusting.find("down to") < dusting.find("legs")


def test_the_floor_is_mopped_towards_the_door() -> None:
    assert titles(WET)[-1].endswith("towards the door")


def test_the_toilet_has_a_cloth_of_its_own() -> None:
    (toilet,) = (title for title in titles(WET) if "toilet" in title)
    assert "a cloth of its own" in toilet


@pytest.mark.parametrize("week", [MONDAY + timedelta(weeks=ahead) for ahead in (0, 7, 52)], ids=str)
def test_the_dry_round_has_its_weekday_before_the_wet_one(week: date) -> None:
    dry, wet = COURSE.step(DRY), COURSE.step(WET)
    assert dry is not None
    assert wet is not None
    dry_day = next_fall(dry.repeats, MONDAY, week - timedelta(days=1))
    assert dry_day is not None
    assert not falls(wet.repeats, MONDAY, dry_day)
    wet_day = next_fall(wet.repeats, MONDAY, week - timedelta(days=1))
    assert wet_day is not None
    assert week <= dry_day < wet_day < week + timedelta(weeks=1)


def test_the_dry_round_stands_first_in_the_course() -> None:
    order = [step.id for step in COURSE.steps]
    assert order.index(DRY) < order.index(WET)


def test_the_lessons_say_plainly_that_no_study_is_behind_it() -> None:
    step = COURSE.step(DRY)
    assert step is not None
    said = [" ".join(lesson.markdown.split()) for lesson in step.lessons]
    assert any("commonly work like this" in one and "No study is behind it" in one for one in said)


@pytest.mark.parametrize(
    "lines",
    [
        ["Mop the floor", "Basins and taps"],
        ["Vacuum the hall", "Dust the shelves"],
        ["Wash the worktops", "Sweep where people walk"],
        ["Dust the shelves", "Lift what lies about"],
    ],
)
def test_another_order_would_be_found(lines: list[str]) -> None:
    assert not is_in_order(lines)
    assert is_in_order(lines[::-1])
