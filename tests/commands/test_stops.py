"""`coach stops`: where people stop, from exported logs."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest

from commands.running import Ended, coach

if TYPE_CHECKING:
    from pathlib import Path

HEAD = "date,what,step,value\n"
START = "2027-01-04,start,bed-made,\n"
KEPT = START + "".join(f"2027-01-0{day},kept,bed-made,\n" for day in (4, 5, 6))


def written(folder: Path, name: str, rows: str) -> Path:
    log = folder / name
    log.write_text(HEAD + rows, encoding="utf-8")
    return log


def stops(*arguments: object, on: str = "2027-03-01", text: str = "") -> Ended:
    return coach("stops", *arguments, "--course", "three-weeks", "--on", on, text=text)


def steps(ended: Ended) -> dict[str, dict[str, object]]:
    return {one["step"]: one for one in json.loads(ended.stdout)["steps"]}


def test_it_prints_each_step_of_the_course_in_its_order(tmp_path: Path) -> None:
    kept = written(tmp_path, "a.csv", KEPT)
    aside = written(tmp_path, "b.csv", START + "2027-01-06,set-aside,bed-made,\n")
    gone = written(tmp_path, "c.csv", START)
    still = written(tmp_path, "d.csv", START.replace("2027-01-04", "2027-02-27"))
    ended = stops(kept, aside, gone, still, "--json")
    told = json.loads(ended.stdout)
    assert {key: told[key] for key in ("on", "course", "households")} == {
        "on": "2027-03-01",
        "course": "Seven small habits",
        "households": 4,
    }
    assert [one["step"] for one in told["steps"]][:2] == ["bed-made", "table-cleared"]
    assert told["steps"][0] == {
        "step": "bed-made",
        "entered": 4,
        "settled": 1,
        "set_aside": 1,
        "lapsed": 0,
        "left": 1,
        "open": 1,
        "median": None,
        "median_low": 3,
        "median_high": None,
        # Three are at risk on day 3, on which one settles and one is set aside; one is at risk on day 8.
        "incidence": [[3, 1 / 3, 1 / 3, 0.0, 0.0], [8, 1 / 3, 1 / 3, 0.0, pytest.approx(1 / 3)]],
    }
    assert told["steps"][-1]["incidence"] == []


def test_days_count_once_they_are_closed(tmp_path: Path) -> None:
    log = written(tmp_path, "a.csv", KEPT)
    assert steps(stops(log, "--json", on="2027-01-04"))["bed-made"]["entered"] == 0
    assert steps(stops(log, "--json", on="2027-01-06"))["bed-made"]["settled"] == 0
    assert steps(stops(log, "--json", on="2027-01-07"))["bed-made"]["settled"] == 1


def test_who_lapsed_has_left_after_28_days(tmp_path: Path) -> None:
    log = written(tmp_path, "a.csv", START)
    lapsed, left = (steps(stops(log, "--json", on=on))["bed-made"] for on in ("2027-02-07", "2027-02-08"))
    assert (lapsed["lapsed"], lapsed["left"]) == (1, 0)
    assert (left["lapsed"], left["left"]) == (0, 1)
    assert (lapsed["incidence"], left["incidence"]) == ([[8, 0, 0, 1, 0]], [[8, 0, 0, 0, 1]])


def test_the_table_has_shares_from_ten_households_on(tmp_path: Path) -> None:
    logs = [written(tmp_path, f"{number}.csv", KEPT) for number in range(9)]
    few = stops(*logs).stdout.splitlines()
    enough = stops(*logs, written(tmp_path, "9.csv", KEPT)).stdout.splitlines()
    assert few[0] == "Seven small habits: 9 households, as 1 March 2027 opens"
    assert " ".join(few[2].split()) == "bed-made 9 9 0 0 0 0 too few to tell too few to tell"
    assert " ".join(enough[2].split()) == "bed-made 10 10 0 0 0 0 100 % (72 to 100) 3"


def test_the_day_by_which_half_have_settled_stands_with_its_interval(tmp_path: Path) -> None:
    spread = [written(tmp_path, f"{number}.csv", _kept_from(4 + number % 6)) for number in range(12)]
    some = [*spread[::6], *(written(tmp_path, f"gone-{number}.csv", START) for number in range(9))]
    assert stops(*spread).stdout.splitlines()[2].endswith("  100 % (76 to 100)  5 (3 to 7)")
    assert stops(*some).stdout.splitlines()[2].endswith("  18 % (5 to 48)   not reached")


def _kept_from(day: int) -> str:
    return START + "".join(f"2027-01-{kept:02},kept,bed-made,\n" for kept in range(day, day + 3))


def test_one_log_can_come_from_the_input() -> None:
    assert steps(stops("-", "--json", text=HEAD + KEPT))["bed-made"]["settled"] == 1


def test_every_fault_is_named_with_its_file_and_line(tmp_path: Path) -> None:
    other = written(tmp_path, "other.csv", START + "2027-01-05,kept,violin,\n")
    broken = written(tmp_path, "broken.csv", START + "2027-02-30,kept,bed-made,\n")
    empty = written(tmp_path, "empty.csv", "")
    late = written(tmp_path, "late.csv", START.replace("2027-01-04", "2027-03-02"))
    ended = stops(other, broken, empty, late)
    assert (ended.returncode, ended.stdout) == (2, "")
    lines = ended.stderr.splitlines()
    assert [line.split(": ")[1] for line in lines] == [f"{other}:3", f"{broken}:3", str(empty), f"{late}:2"]
    assert "no step “violin”" in lines[0]
    assert "starts on 2 March 2027, after 1 March 2027" in lines[3]


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ((), "LOG.csv is missing"),
        (("nowhere.csv",), "nowhere.csv cannot be read"),
        (("same.csv", "./same.csv"), "./same.csv is named twice"),
    ],
)
def test_what_cannot_be_used_is_said_in_one_line(arguments: tuple[str, ...], said: str) -> None:
    ended = stops(*arguments)
    assert (ended.returncode, ended.stderr.count("\n")) == (2, 1)
    assert said in ended.stderr


def test_a_course_nobody_has_is_refused_in_one_line(tmp_path: Path) -> None:
    log = written(tmp_path, "a.csv", KEPT)
    ended = coach("stops", log, "--course", "nowhere", "--on", "2027-03-01")
    assert (ended.returncode, ended.stderr.count("\n")) == (2, 1)


def test_the_ends_of_the_calendar_are_no_trouble(tmp_path: Path) -> None:
    for first, on in [
        ("0001-01-01", "0001-01-01"),
        ("0001-01-01", "0001-01-09"),
        ("9999-12-24", "9999-12-31"),
    ]:
        log = written(tmp_path, f"{on}.csv", START.replace("2027-01-04", first))
        assert stops(log, "--json", on=on).returncode == 0
