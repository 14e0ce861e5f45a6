from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest

from coach.cli import main

if TYPE_CHECKING:
    from collections.abc import Callable

    Run = Callable[[str], list[Any]]


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Run:
    """Run a command and read each line it prints as JSON."""

    def started(line: str) -> list[Any]:
        assert main(line.split()) == 0
        return [json.loads(printed) for printed in capsys.readouterr().out.splitlines()]

    return started


def test_rotation_prints_one_object_per_week(capsys: pytest.CaptureFixture[str]) -> None:
    line = "rotation --areas 5 --mode continuous --week-starts mon --from 2027-01-06 --weeks 2 --first 5"
    assert main(line.split()) == 0
    assert capsys.readouterr().out == (
        '{"week": "2027-01-04", "areas": [5], "minutes": [40], "catch_up": false}\n'
        '{"week": "2027-01-11", "areas": [1], "minutes": [40], "catch_up": false}\n'
    )


def test_rotation_by_month_shares_and_catches_up(run: Run) -> None:
    printed = run("rotation --areas 6 --mode month --week-starts sun --from 2027-01-24 --weeks 2")
    assert printed == [
        {"week": "2027-01-24", "areas": [4, 5, 6], "minutes": [14, 13, 13], "catch_up": False},
        {"week": "2027-01-31", "areas": [1], "minutes": [40], "catch_up": False},
    ]
    assert run("rotation --areas 3 --mode month --from 2027-01-25 --weeks 1") == [
        {"week": "2027-01-25", "areas": [], "minutes": [], "catch_up": True}
    ]


def test_rotation_takes_other_minutes(run: Run) -> None:
    printed = run("rotation --areas 6 --mode month --from 2027-01-25 --weeks 2 --minutes 60")
    assert [week["minutes"] for week in printed] == [[20, 20, 20], [60]]


def test_rotation_waits_while_away(run: Run) -> None:
    away = "--away 2027-01-11..2027-01-13 2027-01-14..2027-01-17 --away 2027-01-25..2027-01-30"
    printed = run(f"rotation --areas 3 --from 2027-01-04 --weeks 5 {away}")
    assert [week["areas"] for week in printed] == [[1], [2], [2], [3], [1]]


@pytest.mark.parametrize(
    ("weight", "expected"),
    [
        ("14lb", ["2027-01-06", "2027-01-04", "2027-01-10T10:00"]),
        ("6.4kg", ["2027-01-06", "2027-01-04", "2027-01-10T09:56"]),
    ],
)
def test_thaw_prints_the_three_times(run: Run, weight: str, expected: list[str]) -> None:
    (printed,) = run(f"thaw --weight {weight} --kind poultry --dinner 2027-01-10T18:00")
    assert list(printed) == ["refrigerator_by", "not_before", "cold_water_by"]
    assert list(printed.values()) == expected


def test_thaw_leaves_time_to_cook(run: Run) -> None:
    (printed,) = run("thaw --weight 1lb --kind cut --dinner 2027-01-10T18:00 --cooking 0")
    assert printed["cold_water_by"] == "2027-01-10T17:00"
    assert printed["not_before"] == "2027-01-04"


ROTATION = "rotation --areas 3 --mode continuous --week-starts mon --from 2027-01-04 --weeks 3"
THAW = "thaw --weight 14lb --kind poultry --dinner 2027-01-10T18:00"


@pytest.mark.parametrize(
    "line",
    [
        ROTATION.replace("--areas 3", "--areas 13"),
        ROTATION.replace("--areas 3", "--areas 0"),
        ROTATION.replace("--areas 3", "--areas three"),
        ROTATION.replace("--areas 3", ""),
        ROTATION.replace("continuous", "weekly"),
        ROTATION.replace("mon", "tue"),
        ROTATION.replace("2027-01-04", "2027-02-30"),
        ROTATION.replace("2027-01-04", "9999-12-31"),
        ROTATION.replace("--weeks 3", "--weeks 0"),
        ROTATION.replace("--weeks 3", "--weeks 1000000"),
        ROTATION.replace("2027-01-04", "9998-12-28").replace("--weeks 3", "--weeks 60"),
        f"{ROTATION} --first 4",
        f"{ROTATION} --first 0",
        f"{ROTATION} --away 2027-01-17..2027-01-11",
        f"{ROTATION} --away 2027-01-11",
        f"{ROTATION} --away 2027-01-11..soon",
        THAW.replace("14lb", "alot"),
        THAW.replace("14lb", "14"),
        THAW.replace("14lb", "0kg"),
        THAW.replace("poultry", "bread"),
        THAW.replace("T18:00", ""),
        THAW.replace("18:00", "25:00"),
        THAW.replace("2027-01-10", "0001-01-02"),
        f"{THAW} --cooking -1",
        f"{THAW} --cooking soon",
    ],
)
def test_bad_arguments_end_with_status_2_and_one_line(line: str, capsys: pytest.CaptureFixture[str]) -> None:
    try:
        status = main(line.split())
    except SystemExit as ended:
        status = int(ended.code or 0)
    printed = capsys.readouterr()
    assert status == 2
    assert printed.out == ""
    assert printed.err.startswith("coach")
    assert len(printed.err.splitlines()) == 1
