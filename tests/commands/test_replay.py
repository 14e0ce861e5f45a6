from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from commands.running import coach

if TYPE_CHECKING:
    from pathlib import Path

LOG = """date,what,step,value
2027-01-04,zone,,Europe/Lisbon
2027-01-04,start,bed-made,standard
2027-01-04,kept,bed-made,
2027-01-05,small,bed-made,
2027-01-06,kept,bed-made,
2027-01-07,kept,table-cleared,
2027-01-07,missed,bed-made,
"""


def written(folder: Path, text: str = LOG) -> Path:
    log = folder / "log.csv"
    log.write_text(text, encoding="utf-8")
    return log


def test_it_prints_the_standing_as_one_json_object(tmp_path: Path) -> None:
    ended = coach("replay", written(tmp_path), "--course", "three-weeks", "--on", "2027-01-08")
    assert json.loads(ended.stdout) == {
        "on": "2027-01-08",
        "day": 5,
        "phase": "ramping",
        "introduced": None,
        "lesson": ["table-cleared", 2],
        "checklist": ["bed-made", "table-cleared"],
        "steps": {
            "bed-made": {
                "state": "settled",
                "introduced_on": "2027-01-04",
                "settled_on": "2027-01-06",
                "kept": 3,
                "due": 4,
                # .127306 after three kept (1 - .955625**3), times 0.5**(1/46) for the missed one.
                "strength": 0.125402,
            },
            "table-cleared": {
                "state": "practising",
                "introduced_on": "2027-01-07",
                "settled_on": None,
                "kept": 1,
                "due": 1,
                "strength": 0.044375,
            },
        },
    }
    assert ended.stdout.count("\n") == 1


def test_each_day_is_one_line(tmp_path: Path) -> None:
    ended = coach("replay", written(tmp_path), "--course", "three-weeks", "--on", "2027-01-07", "--each-day")
    days = [json.loads(line) for line in ended.stdout.splitlines()]
    assert [day["on"] for day in days] == ["2027-01-04", "2027-01-05", "2027-01-06", "2027-01-07"]


def test_the_log_can_come_from_the_input() -> None:
    ended = coach("replay", "-", "--course", "three-weeks", "--on", "2027-01-04", text=LOG)
    assert json.loads(ended.stdout)["introduced"] == "bed-made"


def test_every_row_that_cannot_be_read_is_named_with_its_line(tmp_path: Path) -> None:
    log = written(tmp_path, LOG + "2027-02-30,kept,bed-made,\n2027-01-07,done,bed-made,\n")
    ended = coach("replay", log, "--course", "three-weeks", "--on", "2027-01-07")
    assert ended.returncode == 2
    assert ended.stdout == ""
    assert [line.split(": ")[1] for line in ended.stderr.splitlines()] == ["log.csv:9", "log.csv:10"]


def test_a_date_that_is_no_day_is_refused_in_one_line(tmp_path: Path) -> None:
    log = written(tmp_path)
    before = coach("replay", log, "--course", "three-weeks", "--on", "2027-01-03")
    unreadable = coach("replay", log, "--course", "three-weeks", "--on", "4.1.2027")
    assert (before.returncode, unreadable.returncode) == (2, 2)
    assert "before the start" in before.stderr
    assert unreadable.stderr.count("\n") == 1


def test_a_course_nobody_has_is_refused_in_one_line(tmp_path: Path) -> None:
    ended = coach("replay", written(tmp_path), "--course", "nowhere", "--on", "2027-01-07")
    assert (ended.returncode, ended.stderr.count("\n")) == (2, 1)


@pytest.mark.parametrize("more", [(), ("--each-day",)])
@pytest.mark.parametrize(
    ("on", "said_on"), [("9999-12-31", "31 December 9999"), ("2127-01-05", "5 January 2127")]
)
def test_a_date_more_than_a_hundred_years_after_the_start_is_refused(
    tmp_path: Path, on: str, said_on: str, more: tuple[str, ...]
) -> None:
    ended = coach("replay", written(tmp_path), "--course", "three-weeks", "--on", on, *more)
    assert ended.returncode == 2
    assert ended.stdout == ""
    said = f"{said_on} lies more than 100 years after the start on 4 January 2027. Choose an earlier date."
    assert ended.stderr == f"coach: {said}\n"


def test_the_end_of_the_calendar_is_no_trouble(tmp_path: Path) -> None:
    log = written(tmp_path, "date,what,step,value\n9999-12-30,start,bed-made,\n")
    ended = coach("replay", log, "--course", "three-weeks", "--on", "9999-12-31", "--each-day")
    assert [json.loads(line)["on"] for line in ended.stdout.splitlines()] == ["9999-12-30", "9999-12-31"]


def test_a_changed_pace_holds_from_its_date(tmp_path: Path) -> None:
    log = written(tmp_path, LOG + "2027-01-06,pace,,gentle\n")
    ended = coach("replay", log, "--course", "three-weeks", "--on", "2027-01-07")
    assert json.loads(ended.stdout)["steps"]["bed-made"]["settled_on"] is None


def test_a_pace_that_the_course_does_not_have_is_named_with_its_line(tmp_path: Path) -> None:
    log = written(tmp_path, LOG + "2027-01-06,pace,,gentle\n2027-01-07,pace,,fast\n")
    ended = coach("replay", log, "--course", "three-weeks", "--on", "2027-01-07")
    assert (ended.returncode, ended.stdout) == (2, "")
    assert "log.csv:10: There is no pace “fast”. Choose one of: standard, gentle." in ended.stderr
