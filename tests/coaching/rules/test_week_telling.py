"""Households by the week of their start are told of in fives, week after week."""

from __future__ import annotations

from itertools import combinations

from hypothesis import given, settings
from hypothesis import strategies as st

from coach.coaching.rules.audit import is_few
from coach.coaching.rules.week_telling import (
    PHASES,
    RowTold,
    row_telling,
    row_told_of,
    rows_hidden,
)


def phases(**numbers: int) -> dict[str, int]:
    return {phase: numbers.get(phase, 0) for phase in PHASES}


def test_a_week_of_few_is_told_as_one() -> None:
    row = row_telling(12, {1: phases(ramping=9, lapsed=3)}, [])
    assert row is not None
    assert (row.weeks[1].rest, "ramping" in row.weeks[1].phases) == (12, False)


def test_weeks_that_differ_by_few_are_not_both_told() -> None:
    weeks = {1: phases(ramping=20), 2: phases(ramping=14, steady=6), 3: phases(ramping=12, steady=8)}
    row = row_telling(20, weeks, [])
    assert row is not None
    assert sorted(row.weeks) == [1, 2]


def test_weeks_of_which_what_is_told_as_one_differs_by_few_are_told_otherwise() -> None:
    weeks = {
        1: phases(ramping=30, steady=10, paused=10),
        2: phases(ramping=22, steady=10, paused=15, lapsed=3),
    }
    row = row_telling(50, weeks, [])
    assert row is not None
    # With the ten that are steady three would be thirteen, and ten of these were told the week before.
    assert (row.weeks[2].phases, row.weeks[2].rest) == ({"ramping": 22, "steady": 10}, 18)


def test_a_week_to_which_few_more_have_come_is_not_told() -> None:
    weeks = {1: phases(ramping=20), 2: phases(ramping=12)}
    before = row_telling(20, weeks, [])
    assert before is not None
    assert sorted(before.weeks) == [1, 2]
    row = row_telling(20, {**weeks, 2: phases(ramping=7, steady=7)}, [before])
    assert row is not None
    assert sorted(row.weeks) == [1]


def test_a_week_that_few_have_yet_to_end_is_not_told() -> None:
    row = row_telling(12, {1: phases(ramping=12), 2: phases(ramping=9)}, [])
    assert row is not None
    assert sorted(row.weeks) == [1]
    alone = row_telling(12, {1: phases(ramping=9)}, [])
    assert alone is not None
    assert not alone.weeks


def test_a_row_that_few_more_joined_stays_as_it_was() -> None:
    before = row_telling(12, {1: phases(ramping=12)}, [])
    assert before is not None
    assert row_telling(14, {1: phases(ramping=14)}, [before]) == before


def test_a_row_that_few_left_is_not_told() -> None:
    before = row_telling(12, {1: phases(ramping=12)}, [])
    assert before is not None
    assert row_telling(11, {1: phases(ramping=11)}, [before]) is None


def test_a_row_of_few_takes_another_with_it() -> None:
    assert rows_hidden({"a": 12, "b": 3, "c": 7}) == {"b", "c"}


def test_a_row_is_kept_as_it_was() -> None:
    row = row_telling(12, {1: phases(ramping=12)}, [])
    assert row is not None
    assert row_told_of(row.to_json()) == row


MOVES = {
    "ramping": PHASES,
    "steady": PHASES[1:],
    "lapsed": PHASES[2:],
    "rebuilding": PHASES,
    "paused": PHASES,
}


@st.composite
def lives(draw: st.DrawFn) -> list[list[str]]:
    """Where households stood at the end of each of four weeks."""
    found = []
    for _ in range(draw(st.integers(5, 40))):
        life = ["ramping"]
        for _ in range(3):
            life.append(draw(st.sampled_from([life[-1], life[-1], *MOVES[life[-1]]])))
        found.append(life)
    return found


@settings(max_examples=40, deadline=None)
@given(homes=lives(), counted=st.lists(st.integers(0, 40), min_size=3, max_size=3))
def test_no_two_weeks_ever_told_differ_by_few(homes: list[list[str]], counted: list[int]) -> None:
    told: list[RowTold] = []
    for known, number in enumerate([*counted, len(homes)], start=1):
        those = homes[:number]
        exact = {
            week + 1: {phase: sum(life[week] == phase for life in those) for phase in PHASES}
            for week in range(known)
        }
        row = row_telling(len(those), exact, told)
        if row is not None and row not in told:
            told.append(row)
    weeks = [week for row in told for week in row.weeks.values()]
    assert not any(is_few(one.rest) or any(map(is_few, one.phases.values())) for one in weeks)
    for one, other in combinations(weeks, 2):
        both = one.phases.keys() & other.phases.keys()
        assert not any(is_few(one.phases[phase] - other.phases[phase]) for phase in both)
        assert not is_few(one.households - other.households)
    assert not any(is_few(a.households - b.households) for a, b in combinations(told, 2))
