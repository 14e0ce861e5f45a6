from __future__ import annotations

from datetime import datetime

import pytest

from areas.rules.homes import day
from coach.errors import Malformed
from coach.kitchen.rules.dinner import Dinner, Dish
from coach.kitchen.rules.shopping import (
    LINE_LENGTH,
    MOST_AT_ONCE,
    FreeLine,
    as_text,
    checked_line,
    checked_lines,
    lines_in,
    shopping_list,
)


def dinner(on: str, *lines: str) -> Dinner:
    return Dinner(datetime.fromisoformat(f"{on}T18:00"), Dish(f"Dish of {on}", lines))


def free(*lines: str) -> list[FreeLine]:
    return [FreeLine(str(number), text, day("2027-01-02")) for number, text in enumerate(lines)]


def texts(*dinners: Dinner, written: tuple[str, ...] = ()) -> list[str]:
    return [line.text for line in shopping_list(dinners, free(*written))]


def test_the_same_lines_are_merged_and_their_amounts_added_up() -> None:
    monday = dinner("2027-01-04", "400 g rice", "2 onions", "salt")
    sunday = dinner("2027-01-10", "200 G  Rice", "1 onions", "Salt", "oil")
    assert texts(sunday, monday) == ["600 g rice", "3 onions", "salt", "oil"]


@pytest.mark.parametrize(
    ("one", "other", "merged"),
    [
        ("1/2 cup milk", "1/3 cup milk", "5/6 cups milk"),
        ("1 1/2 cup milk", "1 1/2 cups milk", "3 cups milk"),
        ("2-3 carrots", "2-3 carrots", "2-3 carrots"),
        ("0,5 l milk", "0.75 l milk", "1.25 l milk"),
        ("1 kg rice", "500 g rice", "1.5 kg rice"),
        ("1 kg rice", "2 bags rice", "1 kg and 2 bags rice"),
        ("500 ml milk", "1 pint milk", "500 ml and 1 pint milk"),
        ("2 lemons", "lemons", "2 lemons, and some more"),
        ("2 tins of beans", "1 tin beans", "3 tins beans"),
        ("2/3 cup milk", "2/3 cup milk", "1 1/3 cups milk"),
    ],
)
def test_one_thing_is_one_line_with_its_amounts_added_or_side_by_side(
    one: str, other: str, merged: str
) -> None:
    assert texts(dinner("2027-01-04", one), dinner("2027-01-05", other)) == [merged]


def test_what_has_other_words_is_another_thing() -> None:
    assert texts(dinner("2027-01-04", "1 kg rice", "1 kg brown rice")) == ["1 kg rice", "1 kg brown rice"]


def test_what_was_written_is_merged_with_what_dinners_need_and_else_stands_behind_it() -> None:
    assert texts(dinner("2027-01-04", "1 kg rice"), written=("soap", "500 g rice")) == ["1.5 kg rice", "soap"]


def test_a_line_is_for_every_dinner_that_needs_it_and_all_that_was_written() -> None:
    dinners, written = [dinner("2027-01-04", "salt", "salt"), dinner("2027-01-05", "salt")], free("Salt")
    (line,) = shopping_list(dinners, written)
    assert (line.dinners, line.written) == (tuple(dinners), tuple(written))


def test_the_list_as_text_has_a_line_for_each_thing() -> None:
    assert as_text(shopping_list([dinner("2027-01-04", "2 eggs")], free("oil"))) == "- 2 eggs\n- oil\n"


def test_pasted_lines_lose_signs_spaces_and_empty_ones() -> None:
    assert lines_in("- soap\n\n  • 2   bulbs \n*\n3 l milk") == ("soap", "2 bulbs", "3 l milk")


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        ([], "There is nothing to write on the list. Name one"),
        (["soap"] * (MOST_AT_ONCE + 1), "These are 101 lines. Write at most 100 at once; nothing was added."),
        (["soap", " "], "Line 2 says nothing: name what is to be bought; nothing was added."),
        (["x" * (LINE_LENGTH + 1)], "Line 1 has 201 characters: keep it to 200; nothing was added."),
        (["soap\x00"], "Line 1 has characters that cannot be shown; nothing was added."),
    ],
)
def test_lines_that_cannot_be_kept_are_refused_with_the_reason(lines: list[str], said: str) -> None:
    with pytest.raises(Malformed, match=said):
        checked_lines(lines)


def test_the_most_and_the_longest_can_be_kept() -> None:
    assert len(checked_lines(["x" * LINE_LENGTH] * MOST_AT_ONCE)) == MOST_AT_ONCE


def test_nothing_pasted_says_how_to_write_lines() -> None:
    with pytest.raises(Malformed, match="Write one thing on each line"):
        lines_in(" \n- ")


def test_a_line_to_be_changed_is_checked_by_itself() -> None:
    assert checked_line(" 2  bulbs ") == "2 bulbs"
    with pytest.raises(Malformed, match=r"^The line says nothing: name what is to be bought\.$"):
        checked_line(" ")
