"""What every store does with a plan, in memory, in SQLite and in PostgreSQL."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from typing import TYPE_CHECKING

import pytest

from coach.errors import Malformed, NotStarted
from coach.ground.plan_rows import PlanRow, dated_keys
from store.tern_street import (
    FIRST,
    HOME,
    NOW,
    add,
    begin,
    day,
    dinner,
    held,
    held_of,
    kept,
    plan_of,
    put,
    rows_of,
    saved,
    todo,
    version_of,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from coach.ground.ports import Store, Writing

WRITES: dict[str, Callable[[Writing], object]] = {
    "put_plan": lambda writing: writing.put_plan([dinner(2)], NOW, "r9"),
    "put_plan that takes away": lambda writing: writing.put_plan([dinner(1, "")], NOW),
    "save_plan": lambda writing: writing.save_plan("rotation", saved(5)),
}


class Stop(Exception):
    """Raised inside a transaction."""


def within(store: Store, first: str | None, last: str | None) -> str:
    """The keys of the to-dos within bounds, each of one character, as one text."""
    with store.reading(HOME) as reading:
        return "".join(key for key, _ in held(reading, "todo", first, last))


def test_nothing_is_planned_before_the_start(store: Store) -> None:
    with store.reading(HOME) as reading:
        assert list(held(reading, "dinner")) == []
        assert held_of(reading, ["dinner", "todo"]) == {"dinner": [], "todo": []}
        assert list(reading.plan_history("dinner", "2027-01-04")) == []
        assert reading.saved_plan("rotation", day(9), "d1") is None


@pytest.mark.parametrize("write", [*WRITES.values(), lambda writing: writing.put_plan([], NOW)])
def test_nothing_is_planned_for_a_household_that_has_not_started(
    store: Store, write: Callable[[Writing], object]
) -> None:
    with store.writing(HOME) as writing, pytest.raises(NotStarted):
        write(writing)
    begin(store)
    assert plan_of(store) == []


def test_the_last_row_of_a_key_holds_in_one_put_and_in_several(store: Store) -> None:
    begin(store)
    put(store, dinner(1), dinner(2, "rice"), dinner(1, "stew"))
    assert plan_of(store) == [("2027-01-04", '"stew"'), ("2027-01-05", '"rice"')]
    put(store, dinner(2, "fish"))
    assert plan_of(store) == [("2027-01-04", '"stew"'), ("2027-01-05", '"fish"')]


def test_the_last_row_holds_whatever_date_it_has(store: Store) -> None:
    begin(store)
    put(store, todo("a", "Fix the tap", number=5))
    put(store, todo("a", "Fix the taps", number=2))
    assert plan_of(store, "todo") == [("a", '"Fix the taps"')]


def test_a_value_taken_away_is_left_out_until_there_is_another(store: Store) -> None:
    begin(store)
    put(store, dinner(1), dinner(2))
    put(store, dinner(1, ""), dinner(3), dinner(3, ""))
    assert plan_of(store) == [("2027-01-05", '"soup"')]
    put(store, dinner(1, ""), dinner(1, "stew"))
    assert plan_of(store) == [("2027-01-04", '"stew"'), ("2027-01-05", '"soup"')]


def test_one_key_of_two_kinds_has_two_values(store: Store) -> None:
    begin(store)
    put(store, PlanRow(FIRST, "area", "1", '"hall"'), PlanRow(FIRST, "due", "1", '"rent"'))
    put(store, PlanRow(FIRST, "due", "1", ""))
    assert plan_of(store, "area") == [("1", '"hall"')]
    assert plan_of(store, "due") == []


def test_keys_come_in_the_order_of_their_code_points(store: Store) -> None:
    keys = ["", " ", "10", "9", "B", "Z", "a", "a b", "a-b", "a/b", "ab", "b", "zz", "é", "\ufffd", "🐕"]
    begin(store)
    put(store, *[todo(key) for key in reversed(keys)])
    assert [key for key, _ in plan_of(store, "todo")] == keys == sorted(keys)


@pytest.mark.parametrize(
    ("first", "last", "found"),
    [
        (None, None, "19BZaé🐕"),
        ("B", None, "BZaé🐕"),
        (None, "a", "19BZa"),
        ("9", "Z", "9BZ"),
        ("A", "b", "BZa"),
        ("a", "a", "a"),
        ("a", "Z", ""),
        ("", "", ""),
        ("b", "é", "é"),
        ("🐕", None, "🐕"),
    ],
)
def test_keys_are_found_between_two_bounds_both_taken_in(
    store: Store, first: str | None, last: str | None, found: str
) -> None:
    begin(store)
    put(store, *[todo(key) for key in "Zaé🐕B91"])
    assert within(store, first, last) == found


def test_the_bounds_of_two_dates_take_in_all_their_keys_and_no_others(store: Store) -> None:
    inside = ["2027-01-04", "2027-01-04 1", "2027-01-05~", "2027-01-06 hall", "2027-01-06 🐕"]
    outside = ["2026-12-31 z", "2027-01-03 🐕", "2027-01-07", "2027-01-07 1", "2027-02-05", "x"]
    begin(store)
    put(store, *[PlanRow(FIRST, "done", key, "1") for key in (*outside, *inside)])
    with store.reading(HOME) as reading:
        found = held(reading, "done", *dated_keys(date(2027, 1, 4), date(2027, 1, 6)))
    assert [key for key, _ in found] == inside


def test_several_kinds_are_read_at_once(store: Store) -> None:
    begin(store)
    put(
        store,
        todo("b"),
        todo("a"),
        dinner(1),
        PlanRow(FIRST, "area", "1", '"hall"'),
        todo("c"),
        todo("c", ""),
    )
    with store.reading(HOME) as reading:
        assert held_of(reading, ["todo", "due", "dinner", "todo"]) == {
            "todo": [("a", '"Fix the tap"'), ("b", '"Fix the tap"')],
            "due": [],
            "dinner": [("2027-01-04", '"soup"')],
        }
        assert held_of(reading, []) == {}


def test_all_that_holds_is_read_with_its_kinds(store: Store) -> None:
    begin(store)
    put(store, todo("b"), todo("a"), dinner(1, "stew"), dinner(1), todo("c"), todo("c", ""))
    with store.reading(HOME) as reading:
        assert list(reading.plan_all()) == [
            ("dinner", "2027-01-04", '"soup"'),
            ("todo", "a", '"Fix the tap"'),
            ("todo", "b", '"Fix the tap"'),
        ]


def test_the_history_of_a_key_tells_its_rows_from_the_newest_on(store: Store) -> None:
    rows = [todo("a", "Fix the tap", 3), todo("a", "", 5), todo("a", "Fix the taps", 1)]
    begin(store)
    put(store, rows[0], todo("b"))
    put(store, rows[1], PlanRow(FIRST, "due", "a", "{}"), rows[2])
    with store.reading(HOME) as reading:
        assert list(reading.plan_history("todo", "a")) == rows[::-1]
        assert list(reading.plan_history("todo", "a", most=2)) == rows[:0:-1]
        assert list(reading.plan_history("todo", "a", most=0)) == []
        assert list(reading.plan_history("todo", "c")) == []


def test_a_history_is_of_fifty_rows_if_nothing_else_is_asked(store: Store) -> None:
    begin(store)
    put(store, *[todo("a", f"{number}") for number in range(60)])
    with store.reading(HOME) as reading:
        values = [row.value for row in reading.plan_history("todo", "a")]
    assert values == [f'"{number}"' for number in range(59, 9, -1)]


def test_a_request_that_is_sent_again_plans_nothing(store: Store) -> None:
    begin(store)
    assert put(store, dinner(1), dinner(2), request_id="r1")
    before = version_of(store)
    assert not put(store, dinner(1, ""), dinner(3), request_id="r1")
    assert plan_of(store) == [("2027-01-04", '"soup"'), ("2027-01-05", '"soup"')]
    assert version_of(store) == before


def test_one_request_may_write_to_the_log_and_to_the_plan(store: Store) -> None:
    begin(store)
    assert add(store, kept(1), request_id="r1")
    assert put(store, dinner(1), request_id="r1")
    assert not put(store, dinner(2), request_id="r1")
    assert put(store, dinner(3), request_id="r2")
    assert add(store, kept(2), request_id="r2")


def test_two_households_may_use_the_same_request_id_for_their_plans(store: Store) -> None:
    begin(store)
    begin(store, "other")
    assert put(store, dinner(1), request_id="r1")
    assert put(store, dinner(2), request_id="r1", household_id="other")
    assert plan_of(store) == [("2027-01-04", '"soup"')]
    assert plan_of(store, household_id="other") == [("2027-01-05", '"soup"')]


def test_no_rows_are_nothing_to_plan(store: Store) -> None:
    begin(store)
    before = version_of(store)
    assert put(store, request_id="r1")
    assert version_of(store) == before
    assert put(store, dinner(1), request_id="r1")


@pytest.mark.parametrize("row", [dinner(1), dinner(1, "")])
def test_a_change_of_the_plan_gives_a_later_version_at_once(store: Store, row: PlanRow) -> None:
    begin(store)
    before = version_of(store)
    with store.writing(HOME) as writing:
        writing.put_plan([row], NOW)
        inside = writing.household()
    assert inside is not None
    assert version_of(store) == inside.version > before


def test_plans_of_other_households_are_not_seen(store: Store) -> None:
    begin(store)
    begin(store, "other")
    put(store, dinner(1), household_id="other")
    with store.writing("other") as writing:
        writing.save_plan("rotation", saved(1))
    with store.reading(HOME) as reading:
        assert list(held(reading, "dinner")) == list(held(reading, "dinner", None, "~")) == []
        assert held_of(reading, ["dinner"]) == {"dinner": []}
        assert list(reading.plan_history("dinner", "2027-01-04")) == []
        assert reading.saved_plan("rotation", day(9), "d1") is None


def test_ten_thousand_rows_are_put_at_once(store: Store) -> None:
    rows = [todo(f"{number % 8000:05}", "" if number % 10 == 0 else f"{number}") for number in range(10_000)]
    begin(store)
    assert put(store, *rows, request_id="r1")
    last = {number % 8000: number for number in range(10_000)}
    expected = [(f"{key:05}", f'"{number}"') for key, number in sorted(last.items()) if number % 10]
    assert plan_of(store, "todo") == expected
    assert len(expected) == 7200


@pytest.mark.parametrize("year", [1, 9999])
def test_a_plan_reaches_from_the_first_to_the_last_date_of_the_calendar(store: Store, year: int) -> None:
    row = replace(dinner(1, "Zażółć 🐕" + " " * 20_000), date=FIRST.replace(year=year))
    begin(store)
    put(store, row)
    with store.reading(HOME) as reading:
        assert list(reading.plan_history("dinner", "2027-01-04")) == [row]
        assert list(held(reading, "dinner")) == [(row.key, row.value)]


def fail(store: Store, write: Callable[[Writing], object]) -> None:
    with store.writing(HOME) as writing:
        write(writing)
        raise Stop


@pytest.mark.parametrize("write", WRITES)
def test_an_error_inside_a_transaction_takes_the_plan_back(store: Store, write: str) -> None:
    begin(store)
    put(store, dinner(1))
    before = version_of(store)
    with pytest.raises(Stop):
        fail(store, WRITES[write])
    assert version_of(store) == before
    assert plan_of(store) == [("2027-01-04", '"soup"')]
    with store.reading(HOME) as reading:
        assert list(reading.plan_history("dinner", "2027-01-04")) == [dinner(1)]
        assert list(reading.plan_history("dinner", "2027-01-05")) == []
        assert reading.saved_plan("rotation", day(9), "d1") is None
    assert put(store, dinner(2), request_id="r9")


def test_a_writer_reads_what_it_has_planned(store: Store) -> None:
    begin(store)
    with store.writing(HOME) as writing:
        writing.put_plan([dinner(1)], NOW)
        writing.put_plan([dinner(2), dinner(1, "")], NOW)
        assert list(held(writing, "dinner")) == [("2027-01-05", '"soup"')]
        assert list(writing.plan_history("dinner", "2027-01-04")) == [dinner(1, ""), dinner(1)]


def test_a_reader_sees_the_plan_at_one_instant(store: Store) -> None:
    begin(store)
    with store.reading(HOME) as reading:
        assert list(held(reading, "dinner")) == []
        put(store, dinner(1))
        assert list(held(reading, "dinner")) == []
        assert list(reading.plan_history("dinner", "2027-01-04")) == []
    assert plan_of(store) == [("2027-01-04", '"soup"')]


@pytest.mark.parametrize(
    ("row", "request_id"),
    [
        (todo("a\0b"), None),
        (todo("a", "half \ud83d"), None),
        (PlanRow(FIRST, "to\0do", "a", "1"), None),
        (todo("a" * 201), None),
        (PlanRow(FIRST, "t" * 201, "a", "1"), None),
        (todo("a"), "r\0"),
        (todo("a"), "r" * 201),
    ],
)
def test_a_plan_that_no_database_could_hold_is_refused(
    store: Store, row: PlanRow, request_id: str | None
) -> None:
    begin(store)
    with pytest.raises(Malformed):
        put(store, dinner(1), row, request_id=request_id)
    assert plan_of(store) == []


def test_the_longest_key_of_the_widest_characters_is_held(store: Store) -> None:
    row = PlanRow(FIRST, "🐕" * 200, "🐕" * 200, "1")
    begin(store)
    put(store, row)
    assert plan_of(store, row.what) == [(row.key, "1")]


def test_a_plan_needs_an_instant_with_a_zone(store: Store) -> None:
    begin(store)
    with store.writing(HOME) as writing, pytest.raises(ValueError, match="zone"):
        writing.put_plan([dinner(1)], datetime(2027, 1, 4, 7, 30))  # noqa: DTZ001  that is what is refused
    assert rows_of(store) != []
