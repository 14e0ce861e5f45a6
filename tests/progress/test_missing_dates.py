"""Rows dated on a date that never happened: marks are void, all else counts for the next day (rules §2, §4).

Where the calendar went past a date: tzdata, asked in tests/external/test_zones.py.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from itertools import product
from typing import Any

import pytest

from coach.progress.log import Row, What
from coach.progress.replay import each_day
from coach.progress.standing import replay_json
from progress.living import a_course, a_step
from property.as_tables import as_table, as_texts
from property.second_reading import standings

LEAPS = [(date(2011, 12, 30), "Pacific/Apia"), (date(1993, 8, 21), "Pacific/Kwajalein")]
COURSE = a_course("a", "b", a_step("c", after=["b"]), "d", lapse_after=3)

# How a household has lived before the date: days before it on which everything was marked, and what else.
LIVES: dict[str, tuple[range, list[tuple[int, str, str, str]]]] = {
    "every day marked": (range(1, 13), []),
    "a run of empty days": (range(3, 13), []),
    "lapsed": (range(6, 13), []),
    "lapsed at once if one more day is empty": (range(3, 13), []),
    "paused with an open end": (range(6, 13), [(5, "pause", "", "")]),
    "paused for long with a last date": (range(6, 13), [(5, "pause", "", "{later}")]),
    "coming back": (range(9, 13), [(2, "resume", "", "one"), (1, "kept", "a", "")]),
}
DECISIONS = {
    "a pause": ("pause", "", ""),
    "a pause with a last date": ("pause", "", "{later}"),
    "a resume": ("resume", "", ""),
    "a resume with all": ("resume", "", "all"),
    "a set-aside": ("set-aside", "a", ""),
    "a wish": ("next", "d", ""),
    "an own step": ("add", "own", '{"title": "Own", "waits": false}'),
    "a change": ("adjust", "a", '{"repeats": "FREQ=WEEKLY"}'),
    "a ceiling": ("minutes", "", "4"),
}
MARKS = {
    "a mark": ("kept", "a", ""),
    "a mark on a step to come": ("kept", "d", ""),
    "a missed one": ("missed", "a", ""),
    "a mark taken back": ("clear", "a", ""),
}


def row(day: date, what: str, step: str, value: str, leap: date) -> Row:
    return Row(
        day, What(what), step, value.format(later=leap + timedelta(days=4)) if "{later" in value else value
    )


def life(name: str, leap: date, zone: str) -> list[Row]:
    marked, others = LIVES[name]
    start = leap - timedelta(days=12)
    rows = [Row(start, What.ZONE, "", zone), Row(start, What.START, "a")]
    rows += [
        Row(leap - timedelta(days=before), What.KEPT, step)
        for before in reversed(marked)
        for step in ("a", "b")
    ]
    for before, what, step, value in others:
        rows.append(row(leap - timedelta(days=before), what, step, value, leap))
    return rows


def lived(rows: list[Row], leap: date) -> list[dict[str, Any]]:
    """Every day to a week after, in the engine's words, which the second reading has to agree with."""
    until = leap + timedelta(days=7)
    days = [replay_json(standing) for standing in each_day(COURSE, rows, until)]
    assert [_rounded(day) for day in days] == [
        _rounded(day) for day in standings(as_table(COURSE), as_texts(rows), until)
    ]
    return days


def _rounded(day: dict[str, Any]) -> dict[str, Any]:
    steps = {name: step | {"strength": round(step["strength"], 5)} for name, step in day["steps"].items()}
    return day | {"steps": steps}


@pytest.mark.parametrize(("leap", "zone"), LEAPS)
@pytest.mark.parametrize(("lived_so", "kind"), list(product(LIVES, DECISIONS)))
def test_a_decision_counts_as_written_for_the_next_day(
    leap: date, zone: str, lived_so: str, kind: str
) -> None:
    rows, decided = life(lived_so, leap, zone), row(leap, *DECISIONS[kind], leap)
    moved = replace(decided, date=leap + timedelta(days=1))
    found = lived([*rows, decided], leap)
    assert leap.isoformat() not in [day["on"] for day in found]
    assert found == lived([*rows, moved], leap)


@pytest.mark.parametrize(("leap", "zone"), LEAPS)
@pytest.mark.parametrize(("lived_so", "kind"), list(product(LIVES, MARKS)))
def test_a_mark_is_void(leap: date, zone: str, lived_so: str, kind: str) -> None:
    rows = life(lived_so, leap, zone)
    assert lived([*rows, row(leap, *MARKS[kind], leap)], leap) == lived(rows, leap)


@pytest.mark.parametrize(("leap", "zone"), LEAPS)
def test_rows_of_the_missing_date_come_before_those_of_the_next_in_their_order(leap: date, zone: str) -> None:
    rows, following = life("every day marked", leap, zone), leap + timedelta(days=1)
    aside = [Row(leap, What.SET_ASIDE, "a"), Row(leap, What.RESTORE, "a")]
    state = [day["steps"]["a"]["state"] for day in lived([*rows, *aside], leap)]
    assert state[-1] == "settled"
    later = [Row(following, What.SET_ASIDE, "a"), Row(leap, What.RESTORE, "a")]
    assert lived([*rows, *later], leap)[-1]["steps"]["a"]["state"] == "set-aside"
