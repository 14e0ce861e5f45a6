"""What rows of numbers let be worked out, against a reading of the same words, number by number."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.coaching.rules import audit
from coach.coaching.rules.audit import rows_tell_few

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

rows = st.lists(
    st.dictionaries(st.integers(1, 12), st.integers(0, 40), min_size=1, max_size=6), min_size=1, max_size=6
)


@st.composite
def growing(draw: st.DrawFn) -> list[dict[int, int]]:
    """Rows of numbers far enough apart, as they are told, of which one may have grown by few."""
    found: list[dict[int, int]] = []
    for index in range(draw(st.integers(1, 5))):
        told = draw(st.lists(st.integers(1, 12), min_size=1, max_size=6, unique=True))
        found.append({day: 5 * (day // draw(st.integers(1, 4)) + 2 * index) for day in sorted(told)})
    at = draw(st.integers(0, len(found) - 1))
    found[at][max(found[at])] += draw(st.integers(0, 5))
    return found


def by_number(told: Sequence[Mapping[int, int]]) -> bool:
    """Whether they tell few: each number that is known, each difference of two, one after the other."""
    known = [{day: one for day in range(1, 13) if (one := worked_out(told, at, day)) is not None}
             for at in range(len(told))]  # fmt: skip
    days = sorted({day for row in told for day in row})
    alone = [[row[day] for day in days if day in row] for row in known]
    between = [
        [later[day] - earlier[day] for day in days if day in earlier and day in later]
        for at, later in enumerate(known)
        for earlier in known[:at]
    ]
    steps = [later - earlier for numbers in (*alone, *between) for earlier, later in pairwise([0, *numbers])]
    return any(1 <= abs(one) <= 4 for one in [*steps, *(number for numbers in between for number in numbers)])


def worked_out(told: Sequence[Mapping[int, int]], at: int, day: int) -> int | None:
    """A number that was told, or is between two that were and are alike."""
    if day in told[at]:
        return told[at][day]
    before = [number for row in told[: at + 1] for one, number in row.items() if one <= day]
    after = [number for row in told[at:] for one, number in row.items() if one >= day]
    least = max(before, default=0)
    return least if after and least == min(after) else None


@given(st.one_of(rows, growing()))
def test_few_are_found_as_they_are_number_by_number(told: list[dict[int, int]]) -> None:
    assert rows_tell_few(told) == by_number(told)


@given(st.one_of(rows, growing()))
def test_however_many_pairs_are_looked_at_at_once(told: list[dict[int, int]]) -> None:
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(audit, "CELLS", 1)
        assert rows_tell_few(told) == by_number(told)


def test_the_last_of_many_pairs_is_looked_at(monkeypatch: pytest.MonkeyPatch) -> None:
    told = [{7: 10 * week} for week in range(1, 30)]
    assert not rows_tell_few(told)
    monkeypatch.setattr(audit, "CELLS", 7)
    assert rows_tell_few([*told, {7: 294}])
