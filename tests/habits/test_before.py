"""The days before today in one grid, and a tap on one of their boxes."""

from __future__ import annotations

from typing import get_args

import pytest

from coach.errors import NotEditable, Unknown
from coach.ground.situation import looking
from coach.habits import before, pauses
from coach.habits.answers import MarkName
from coach.habits.gone_by import Box, DaysBefore
from habits.house import HOME, House
from progress.living import on


def grid(house: House) -> DaysBefore:
    with looking(house.context, HOME) as where:
        return before.days_before_in(where)


def marks(found: DaysBefore, step: str) -> list[str]:
    """The boxes of a line in a word each."""
    line = found.line(step)
    assert line is not None
    return ["-" if box is None else box.mark or "open" for box in line.boxes]


def test_the_first_day_has_none_before_it() -> None:
    found = grid(House().begun("bed"))
    assert (found.columns, found.lines) == ((), ())


def test_the_columns_are_the_days_that_can_be_edited_without_today() -> None:
    house = House().begun("bed").at(5)
    assert [column.date for column in grid(house).columns] == [on(day) for day in range(1, 5)]
    house.mark(5, "bed")
    found = grid(house.at(12))
    assert [column.date for column in found.columns] == [on(day) for day in range(5, 12)]
    house.mark(5, "bed")
    with pytest.raises(NotEditable):
        house.mark(4, "bed")


def test_every_mark_stands_in_its_box() -> None:
    house = House().begun("bed")
    for day, mark in enumerate(get_args(MarkName), 1):
        house.at(day).mark(day, "bed", mark)
    assert marks(grid(house.at(6)), "bed") == [*get_args(MarkName), "open"]


def test_a_weekly_line_has_boxes_from_its_day_until_it_is_marked() -> None:
    house = House().begun("bed")
    for day in range(1, 5):
        house.at(day).mark(day, "bed")
    line = grid(house.at(8)).line("job")
    assert line is not None
    begun = next(place for place, box in enumerate(line.boxes) if box)
    assert all(line.boxes[begun:])
    found = before.keep(house.context, HOME, on(begun + 2), "job")
    assert marks(found, "job") == ["-"] * begun + ["open", "kept"] + ["-"] * (5 - begun)


def test_days_away_have_no_boxes() -> None:
    house = House().begun("bed")
    house.mark(1, "bed")
    pauses.pause(house.at(2).context, HOME)
    pauses.resume(house.at(4).context, HOME)
    found = grid(house.at(5))
    assert [column.away for column in found.columns] == [False, True, True, False]
    assert marks(found, "bed") == ["kept", "-", "-", "open"]


def test_a_tap_keeps_and_a_second_one_takes_any_mark_back() -> None:
    house = House().begun("bed").at(3)
    kept = before.keep(house.context, HOME, on(2), "bed")
    assert marks(kept, "bed") == ["open", "kept"]
    assert kept == grid(house)
    house.mark(1, "bed", "missed")
    back = before.take_back(house.context, HOME, on(1), "bed")
    assert marks(back, "bed") == ["open", "kept"]
    assert house.written()[-1] == "1 clear bed"


def test_the_shape_changes_with_the_boxes_and_not_with_a_mark() -> None:
    house = House().begun("bed").at(3)
    first = grid(house)
    assert before.keep(house.context, HOME, on(1), "bed").shape == first.shape
    assert before.keep(house.context, HOME, on(2), "bed").shape == first.shape
    assert grid(house.at(4)).shape != first.shape


def test_what_cannot_be_marked_is_refused() -> None:
    house = House().begun("bed").at(12)
    with pytest.raises(NotEditable):
        before.keep(house.context, HOME, on(2), "bed")
    with pytest.raises(Unknown):
        before.keep(house.context, HOME, on(10), "moon")


def test_the_grid_is_what_each_day_says_of_itself() -> None:
    house = House().begun("bed")
    for day in range(1, 13):
        for line in house.at(day).mark(day, "bed").checklist:
            if (day + len(line.step)) % 3:
                house.mark(day, line.step)
    found = grid(house.at(13))
    for place, column in enumerate(found.columns):
        told = {line.step: line.mark for line in house.mark((column.date - on(1)).days + 1, "bed").checklist}
        boxes = {line.step: box for line in found.lines if (box := line.boxes[place])}
        assert boxes == {step: Box(column.date, mark) for step, mark in told.items()} | {
            "bed": Box(column.date, "kept")
        }
