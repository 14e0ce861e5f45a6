"""The catalogue as a set: in an order of its own, and each step with texts that lean on no other step."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest

from coach.coaching.lessons_folder import shipped_lessons
from coach.course.model import Slot, Step
from coach.course.reader import read_catalogue, read_groups

CATALOGUE = read_catalogue(shipped_lessons() / "catalogue")
GROUPS = read_groups(shipped_lessons() / "catalogue", [step.id for step in CATALOGUE])

DAYS = {"DAILY": 1, "WEEKLY": 7, "MONTHLY": 30}
PARTS_OF_A_DAY = list(Slot)

LEANS = re.compile(
    r"\b(three weeks|these weeks|(in|of) the course|(daily|next|other|both) steps?|once[- ]over|desk[- ]work"
    r"|area hour|(dry|wet) round|linen day|you (close|make|decide|clear) the \w+ [\w ]*\bnow)\b",
    re.IGNORECASE,
)
"""Words of a text that counts on a course, or on a step that somebody who adds one step may not have."""


def days_between(step: Step) -> int:
    """About how many days lie between two weeks or months in which it falls."""
    rule = dict(part.split("=") for part in step.repeats.split(";"))
    return DAYS[rule["FREQ"]] * int(rule.get("INTERVAL", 1))


def place(step: Step) -> tuple[int, int]:
    """How seldom it falls, and of the daily ones the part of the day."""
    daily = days_between(step) == 1
    return days_between(step), PARTS_OF_A_DAY.index(step.slot) if daily else 0


def leaning(text: str) -> list[str]:
    return [found[0] for found in LEANS.finditer(text)]


def test_the_catalogue_goes_through_the_day_first_and_then_from_often_to_seldom() -> None:
    turned = [(one.id, next_.id) for one, next_ in pairwise(CATALOGUE) if place(one) > place(next_)]
    assert turned == []


def test_every_step_stands_in_exactly_one_group() -> None:
    grouped = [step for group in GROUPS for step in group.steps]
    assert sorted(grouped) == sorted(step.id for step in CATALOGUE)


def test_the_steps_of_a_group_stand_in_the_order_of_the_catalogue() -> None:
    order = [step.id for step in CATALOGUE]
    assert [
        group.title for group in GROUPS if sorted(group.steps, key=order.index) != list(group.steps)
    ] == []


def test_no_group_is_longer_than_a_dozen() -> None:
    assert [group.title for group in GROUPS if not 3 <= len(group.steps) <= 12] == []


@pytest.mark.parametrize("step", CATALOGUE, ids=[step.id for step in CATALOGUE])
def test_a_step_that_can_be_added_alone_leans_on_no_other(step: Step) -> None:
    lessons = (one for lesson in step.lessons for one in (lesson.title, lesson.markdown))
    said = (step.why or "", step.cue or "", *lessons)
    assert [found for text in said for found in leaning(text)] == []


@pytest.mark.parametrize(
    "text",
    [
        "In the course this is the last of the ten daily steps.",
        "A lot of what comes later in these weeks leans on this.",
        "One sentence covers both steps.",
        "You close the kitchen at night now.",
        "Answering belongs to the desk-work day.",
    ],
)
def test_a_text_that_leans_on_others_would_be_found(text: str) -> None:
    assert leaning(text) != []
