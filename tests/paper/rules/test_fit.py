"""How a printed week sheet is counted: sizes go down as lines are added, and what does not fit is told."""

from __future__ import annotations

from dataclasses import replace

import pytest

from coach.paper.rules.fit import (
    ACROSS,
    BOX_COLUMN,
    DATES,
    GAP,
    SIZES,
    STEPS,
    Content,
    Text,
    fitting,
    room,
)
from coach.paper.rules.widths import FIGURE, rows, width

EMPTY = Content("a4", across=False, names="", lines=(), sections=(), signs=False, writing=0)


def with_lines(count: int, content: Content = EMPTY) -> Content:
    """The same with so many daily lines."""
    return replace(content, lines=tuple(("morning", f"Clear the table {at}") for at in range(count)))


@pytest.mark.parametrize("laid", ["upright", "across"])
@pytest.mark.parametrize("paper", SIZES)
def test_the_more_lines_the_smaller_until_it_is_said_by_how_many_it_is_too_long(
    paper: str, laid: str
) -> None:
    content = replace(EMPTY, paper=paper, across=laid == "across")
    found = [fitting(with_lines(count, content)) for count in range(90)]
    assert [one.step for one in found] == sorted(one.step for one in found)
    assert [one.over for one in found] == sorted(one.over for one in found)
    assert (found[0].step, found[0].over) == (1, 0)
    assert found[-1].over > 0
    assert min(one.size for one in found) == STEPS[-1].type == 8


def test_a_line_more_than_fits_is_one_line_too_long() -> None:
    most = max(count for count in range(90) if not fitting(with_lines(count)).over)
    assert [fitting(with_lines(most + more)).over for more in range(4)] == [0, 1, 2, 3]


def test_what_stands_around_the_grid_takes_room_and_so_do_lines_to_write_on() -> None:
    lines = with_lines(40)
    section = tuple(Text("Out and back", boxed=True) for _ in range(40))
    assert fitting(replace(lines, sections=(section,))).step > fitting(lines).step
    assert fitting(replace(lines, writing=10)).step > fitting(lines).step
    assert fitting(replace(lines, names="Who: " + "Ana, " * 200)).step > fitting(lines).step


def test_across_the_grid_is_as_wide_as_its_lines_need() -> None:
    content = replace(with_lines(30), across=True)
    wide = replace(content, lines=tuple(("morning", "a word " * 10) for _ in range(34)))
    assert fitting(content).layout == ACROSS[0].name
    assert fitting(wide).layout == "beside-62"


def test_the_grid_and_what_stands_beside_it_share_what_the_gap_between_them_leaves() -> None:
    wide, _ = room("a4", across=True)
    size = STEPS[2].type
    boxes = DATES * BOX_COLUMN + 0.5
    # As many figures as would go into a row if the gap were the grid's.
    figures = int((wide * 0.53 / size - boxes) / FIGURE)
    assert rows("0" * figures, (wide - GAP) * 0.53 / size - boxes) == 2
    lines = tuple(("morning", "0" * figures) for _ in range(21))
    content = replace(EMPTY, across=True, lines=lines, sections=((Text("one"),),))
    assert fitting(content).layout == "beside-62"


def test_papers_are_those_of_their_standards_and_lie_as_they_are_laid() -> None:
    millimetres = [round((side + 2 * 9 / 25.4 * 72) / 72 * 25.4) for side in room("a4", across=True)]
    assert millimetres == [297, 210]
    assert [round(side / 72, 2) for side in SIZES["letter"]] == [8.5, 11.0]


@pytest.mark.parametrize(
    ("text", "wide", "taken"),
    [
        ("", 10, 1),
        ("one two", 10, 1),
        ("one two", 3, 2),
        ("one two three", 3, 3),
        ("Geschirrspülmaschinenreinigungstabletten", 8, 3),
        # A row ends before the letter that goes over it, and what is left of it stays empty.
        ("mmmm", 1.7, 4),
        ("i mmm", 1.7, 4),
    ],
)
def test_words_go_on_in_the_next_row_and_break_where_they_are_longer(
    text: str, wide: float, taken: int
) -> None:
    assert rows(text, wide) == taken


def test_an_accent_makes_a_letter_no_wider_and_marks_of_direction_take_no_room() -> None:
    assert width("äé") == width("ae")
    assert width("\u2068ae\u2069") == width("ae")
    assert width("漢") > width("m") > width("i")


def test_letters_of_scripts_without_spaces_are_counted_wider_since_rows_end_between_words() -> None:
    assert width("ล") > width("ש")
    assert width("ล\u0e49") == width("ล")
