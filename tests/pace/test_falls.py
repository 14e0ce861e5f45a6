"""The days on which steps fall, for households that met them on any day, against the rules' own dates."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from coach.course.recurrence import falls_between
from coach.pace.falls import Falls, days_from

THURSDAY = date(2027, 12, 30)
DAYS = days_from(THURSDAY, 400)


@pytest.mark.parametrize(
    "rule",
    [
        "FREQ=DAILY",
        "FREQ=WEEKLY;BYDAY=TH",
        "FREQ=WEEKLY;BYDAY=SU,MO,WE",
        "FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=1,-1",
        "FREQ=WEEKLY;BYDAY=SA;BYMONTH=1,2,7",
        "FREQ=MONTHLY;BYDAY=1SA,-1SU",
        "FREQ=MONTHLY;BYMONTHDAY=-1",
        "DTSTART:20280103 RRULE:FREQ=WEEKLY;BYDAY=MO,FR",
        "DTSTART:20280103 RRULE:FREQ=WEEKLY;INTERVAL=2;BYDAY=MO",
    ],
)
def test_a_rule_that_names_its_days_falls_on_them_whenever_its_step_came(rule: str) -> None:
    falls = Falls([rule], DAYS)
    assert falls.counting == ()
    assert fallen(falls, [0]) == [
        [day in set(falls_between(rule, THURSDAY, THURSDAY, DAYS[-1])) for day in DAYS]
    ]


@pytest.mark.parametrize(
    "rule", ["FREQ=WEEKLY", "FREQ=DAILY;INTERVAL=3", "FREQ=WEEKLY;INTERVAL=2;BYDAY=MO,SA", "FREQ=MONTHLY"]
)
def test_a_rule_that_counts_from_its_start_falls_by_the_day_on_which_its_step_came(rule: str) -> None:
    falls, came = Falls([rule], DAYS), [DAYS[0], DAYS[5], DAYS[40]]
    assert falls.counting == (0,)
    rows = [falls.row(0, day) for day in came]
    assert fallen(falls, rows) == [
        [day in set(falls_between(rule, start, start, DAYS[-1])) for day in DAYS] for start in came
    ]


def fallen(falls: Falls, rows: list[int]) -> list[list[bool]]:
    """For each of some households, by its row, whether the one step falls on each of the days."""
    numbers = np.array([rows], np.int32)
    each = [falls.on(day, numbers, np.empty(numbers.shape, bool))[0].copy() for day in range(len(DAYS))]
    return np.array(each).T.tolist()  # type: ignore[no-any-return]  # lists of lists
