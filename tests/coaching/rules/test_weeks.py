"""Households in rows by the week of their start, with their own weeks since."""

from __future__ import annotations

from datetime import date

from coach.coaching.rules.weeks import week_rows
from coach.ground.coaching import Followed


def started(on: date, *weeks: str) -> Followed:
    return Followed(on, on, "ramping", None, 0, weeks)


def test_who_started_in_one_week_stands_in_one_row_and_the_rows_in_order() -> None:
    rows = week_rows(
        [started(date(2027, 1, 11)), started(date(2027, 1, 10)), started(date(2027, 1, 4), "ramping")]
    )
    assert [(row.monday, row.households) for row in rows] == [
        (date(2027, 1, 4), 2),
        (date(2027, 1, 11), 1),
    ]
    assert rows[1].cells == ()


def test_a_cell_says_how_many_were_in_each_phase_and_whether_others_are_still_to_come() -> None:
    [row] = week_rows(
        [
            started(date(2027, 1, 4), "ramping", "steady"),
            started(date(2027, 1, 5), "ramping", "lapsed"),
            started(date(2027, 1, 9), "ramping"),
        ]
    )
    first, second = row.cells
    assert (first.phases["ramping"], first.households, first.unfinished) == (3, 3, False)
    assert (second.phases["steady"], second.phases["lapsed"], second.phases["paused"]) == (1, 1, 0)
    assert (second.households, second.unfinished) == (2, True)


def test_without_households_there_are_no_rows() -> None:
    assert week_rows([]) == []
