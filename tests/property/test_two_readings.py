"""The engine agrees with a second, slow reading of the rules that was written apart from it."""

from __future__ import annotations

from typing import Any

from hypothesis import given, settings
from property.log_strategies import Case, cases
from property.second_reading import standings

from coach.course.definition import step_from
from coach.course.model import Course, Hold, Return, Strength
from coach.progress.log import Row, What
from coach.progress.days import iso_date
from coach.progress.replay import each_day
from coach.progress.standing import replay_json

import pytest


def as_course(table: dict[str, Any]) -> Course:
    steps = [{key: value for key, value in step.items() if key != "id"} for step in table["steps"]]
    return Course(
        title=table["title"],
        steps=tuple(step_from(step["id"], keys) for step, keys in zip(table["steps"], steps, strict=True)),
        ramp_days=table["ramp_days"],
        at_once=table["at_once"],
        lapse_after=table["lapse_after"],
        hold=Hold(**table["hold"]),
        returning=Return(**table["return"]),
        strength=Strength(**table["strength"]),
        paces=table["paces"],
    )


def as_rows(rows: list[tuple[str, str, str, str]]) -> list[Row]:
    return [Row(iso_date(on), What(what), step, value) for on, what, step, value in rows]


@settings(max_examples=300, deadline=None)
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
