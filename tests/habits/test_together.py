"""Several lines marked at once: the daily ones of a part of the day, and exactly those taken back."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from coach.errors import NotEditable, Unknown
from coach.habits.marks import PartMarking, StepsMarking, mark_together, together_view
from habits.house import HOME, House
from progress.living import a_course, a_step, on

if TYPE_CHECKING:
    from coach.habits.answers import MarkedTogether

COURSE = a_course(
    a_step("bed", minutes=2, slot="evening"),
    a_step("cups", after=["bed"], slot="evening"),
    a_step("lamp", after=["bed"], slot="morning", waits=False),
    a_step("job", after=["bed"], repeats="FREQ=WEEKLY", waits=False, slot="evening"),
    a_step("twice", after=["bed"], repeats="FREQ=WEEKLY;BYDAY=MO,TH", waits=False, slot="evening"),
    a_step("most", after=["bed"], repeats="FREQ=WEEKLY;BYDAY=MO,TU,WE,TH", waits=False, slot="evening"),
)
EVENING = {"bed", "cups", "most"}


@pytest.fixture
def house() -> House:
    """A Monday on which every step has come and is due."""
    house = House(COURSE).begun("bed")
    for step in ("cups", "lamp", "job", "twice", "most"):
        house.mark(1, step)
    return house.at(8)


def together(house: House, marking: PartMarking | StepsMarking, request: str | None = None) -> MarkedTogether:
    return mark_together(house.asked(request), HOME, marking, together_view)


def marks(found: MarkedTogether) -> dict[str, str | None]:
    return {line.step: line.mark for line in found.day.checklist if line.mark}


def evening(day: int = 8) -> PartMarking:
    return PartMarking(on(day), "evening", "kept")


def test_one_tap_marks_the_lines_of_most_days_in_that_part_and_no_weekly_one(house: House) -> None:
    found = together(house, evening())
    assert set(found.changed) == EVENING
    assert marks(found) == dict.fromkeys(EVENING, "kept")


def test_what_has_a_mark_keeps_it(house: House) -> None:
    house.mark(8, "cups", "missed")
    found = together(house, evening())
    assert set(found.changed) == EVENING - {"cups"}
    assert marks(found)["cups"] == "missed"


def test_exactly_those_marks_are_taken_back(house: House) -> None:
    house.mark(8, "bed")
    found = together(house, evening())
    back = together(house, StepsMarking(on(8), found.changed, None, only="kept"))
    assert back.changed == found.changed
    assert marks(back) == {"bed": "kept"}


def test_a_line_marked_otherwise_meanwhile_is_left_alone(house: House) -> None:
    found = together(house, evening())
    house.mark(8, "cups", "excused")
    back = together(house, StepsMarking(on(8), found.changed, None, only="kept"))
    assert marks(back) == {"cups": "excused"}


def test_the_rows_are_written_together_and_a_request_sent_again_writes_none(house: House) -> None:
    together(house, evening(), "tap")
    written = house.rows()
    house.mark(8, "bed", "missed")
    assert together(house, evening(), "tap").changed == ()
    assert len(house.rows()) == len(written) + 1


def test_a_day_too_long_ago_is_not_changed(house: House) -> None:
    house.at(20)
    with pytest.raises(NotEditable):
        together(house, evening(8))
    with pytest.raises(NotEditable):
        together(house, evening(25))


def test_an_unknown_step_writes_nothing_at_all(house: House) -> None:
    before = house.rows()
    with pytest.raises(Unknown):
        together(house, StepsMarking(on(8), ("bed", "moon"), "kept"))
    assert house.rows() == before
