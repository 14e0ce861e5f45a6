"""The engine agrees with a second, slow reading of the rules that was written apart from it."""

from __future__ import annotations

import pytest
from hypothesis import given, settings

from coach.progress.replay import each_day
from coach.progress.standing import replay_json
from property.as_tables import as_course, as_rows
from property.log_strategies import Case, cases
from property.second_reading import standings


@settings(max_examples=2 * settings().max_examples)
@given(cases())
def test_every_day_of_any_log_stands_the_same_in_both_readings(case: Case) -> None:
    ours = [replay_json(day) for day in each_day(as_course(case.course), as_rows(case.rows), case.until)]
    theirs = standings(case.course, case.rows, case.until)
    assert len(ours) == len(theirs)
    for our, their in zip(ours, theirs, strict=True):
        strengths = [
            (step.pop("strength"), their["steps"][step_id].pop("strength"))
            for step_id, step in our["steps"].items()
        ]
        assert our == their
        for mine, other in strengths:
            assert mine == pytest.approx(other, abs=1e-6)
