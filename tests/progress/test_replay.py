"""Replay: from a log to the standing of a day, and the object the command prints (rules §7)."""

from __future__ import annotations

import json
from datetime import date
from typing import TYPE_CHECKING

import pytest

from coach.errors import Malformed, OutOfRange, Unknown
from coach.progress.journal import Version, journal
from coach.progress.replay import before_start, open_on, replay
from coach.progress.standing import replay_json
from coach.progress.state import Pause
from progress.living import a_course, a_step, closed, days, lived, marks, on, row, stand, start

if TYPE_CHECKING:
    from coach.progress.log import Row

COURSE = a_course("bed", a_step("cups", after=["bed"]))


def test_a_day_before_the_start_is_none() -> None:
    with pytest.raises(OutOfRange, match="3 January 2027 lies before the start on 4 January 2027"):
        stand(COURSE, start(), 0)


def test_a_day_that_was_closed_before_cannot_be_opened_again() -> None:
    state = closed(COURSE, start(), 5)
    with pytest.raises(OutOfRange, match="6 January 2027 lies before the days that are left to open"):
        open_on(state, journal([Version(date.min, COURSE)], start()), on(3))


def test_a_date_that_never_happened_is_none() -> None:
    rows = [row(1, "start")]
    moved = [type(rows[0])(date(2011, 12, 28), entry.what, entry.step, entry.value) for entry in rows]
    zone = type(rows[0])(date(2011, 12, 28), row(1, "zone").what, "", "Pacific/Apia")
    with pytest.raises(Unknown, match="30 December 2011 never happened in Pacific/Apia"):
        replay(COURSE, [zone, *moved], date(2011, 12, 30))


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ([], "no start row"),
        (start("cups"), "“cups” is no step to begin with. Choose one of: bed."),
        (start("attic"), "“attic” is no step to begin with. Choose one of: bed."),
        (start(pace="fast"), "There is no pace “fast”. Choose one of: standard, gentle."),
    ],
)
def test_a_log_that_cannot_start_says_why(rows: list[Row], words: str) -> None:
    with pytest.raises(Malformed, match=words):
        stand(COURSE, rows, 1)


def test_the_object_the_command_prints() -> None:
    rows = [*start(), *marks("kept", [1, 2], "bed"), row(3, "missed", "bed")]
    assert json.loads(json.dumps(replay_json(stand(COURSE, rows, 4)))) == {
        "on": "2027-01-07",
        "day": 4,
        "phase": "ramping",
        "introduced": None,
        "lesson": None,
        "checklist": ["bed", "cups"],
        "steps": {
            "bed": {
                "state": "settled",
                "introduced_on": "2027-01-04",
                "settled_on": "2027-01-05",
                "kept": 2,
                "due": 3,
                "strength": 0.085483,
            },
            "cups": {
                "state": "practising",
                "introduced_on": "2027-01-06",
                "settled_on": None,
                "kept": 0,
                "due": 1,
                "strength": 0.0,
            },
        },
    }


def test_a_standing_tells_start_pace_and_pause() -> None:
    standing = stand(COURSE, [*start(pace="gentle"), row(2, "pause", value=on(4).isoformat())], 3)
    assert (standing.started, standing.pace, standing.pause) == (on(1), "gentle", Pause(on(2), on(4)))


def test_strength_stands_as_the_day_opens_and_marks_of_the_day_do_not_count_yet() -> None:
    marked = [*start(), row(1, "kept", "bed")]
    assert stand(COURSE, marked, 1).steps["bed"].strength == 0
    assert stand(COURSE, marked, 1).steps["bed"].due == 0


def test_the_number_of_the_day_counts_calendar_days_through_a_lapse() -> None:
    assert [standing.day for standing in lived(COURSE, start(), 20).values()] == list(days(1, 20))


def test_before_the_start_every_step_lies_ahead() -> None:
    standing = before_start(COURSE)
    assert (standing.phase, standing.pace, standing.marks) == ("ramping", "standard", {})
    assert {step.state for step in standing.steps.values()} == {"ahead"}
    assert standing.checklist == ()


def test_the_stretches_away_are_remembered() -> None:
    rows = [*start(), row(1, "kept", "bed"), row(2, "pause", value=on(4).isoformat()), row(15, "kept", "bed")]
    assert stand(COURSE, rows, 16).away == ((on(2), on(4)), (on(12), on(14)))
