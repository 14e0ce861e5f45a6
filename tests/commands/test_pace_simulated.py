"""`coach pace --households`: many households simulated, as tables, JSON, CSV and a picture."""

from __future__ import annotations

import csv
import json
import os
import stat
import subprocess
import sys
from typing import TYPE_CHECKING, Any
from xml.etree import ElementTree as ET

import pytest

from coach.commands.pace_report import COLUMNS
from coach.pace.sizes import LOT
from commands.running import COACH, Ended, coach

if TYPE_CHECKING:
    from pathlib import Path

SVG = "{http://www.w3.org/2000/svg}"
SPREAD = ("--adherence-spread", "0.7..0.95")
SMALL = ("--households", 400, *SPREAD, "--days", 40)
MOST_MEMORY_MB = 200


def pace(*arguments: object) -> Ended:
    return coach("pace", *arguments)


def told(*arguments: object) -> dict[str, Any]:
    ended = pace(*arguments, "--json")
    assert ended.returncode == 0, ended.stderr
    found: dict[str, Any] = json.loads(ended.stdout)
    return found


def test_its_json_has_what_was_asked_and_counts_of_households() -> None:
    found = told(*SMALL, "--seed", 7, "--drop-a-day", 0.02)
    assert (found["households"], found["days"], found["seed"]) == (400, 40, 7)
    assert (found["adherence"], found["drop_a_day"], found["back_a_day"]) == ([0.7, 0.95], 0.02, 0.0)
    assert [sum(day) for day in zip(*found["phases"].values(), strict=True)] == [400] * 40
    assert set(found["steps"][0]) == {"step", "came", "settled", "practised", "standing"}
    assert found["steady"]["p10"] > found["settled"]["p10"] > 20
    assert found["steady"]["p90"] is None


def test_the_same_seed_gives_the_same_and_another_one_something_else() -> None:
    one, again, other = (told(*SMALL, "--seed", seed) for seed in (7, 7, 8))
    assert one == again
    assert one["minutes"] != other["minutes"]


def test_blocks_and_processes_change_nothing() -> None:
    asked = ("--households", 2 * LOT + 5, *SPREAD, "--days", 12, "--seed", 3)
    assert told(*asked, "--processes", 2) == told(*asked, "--block", 3 * LOT) == told(*asked)


def test_everybody_alike_keeps_everything() -> None:
    found = told("--households", 50, "--adherence", 1, "--days", 30)
    assert found["settled"] == {"p10": 21, "p50": 21, "p80": 21, "p90": 21}
    assert found["phases"]["steady"][20:22] == [0, 50]


def test_its_tables_say_the_same_in_words() -> None:
    said = pace(*SMALL, "--seed", 7, "--drop-a-day", 0.02).stdout
    found = told(*SMALL, "--seed", 7, "--drop-a-day", 0.02)
    assert "400 households over 40 days" in said
    assert "with a chance between 0.7 and 0.95. Each day 2 % fall quiet for good. Seed 7." in said
    assert f"{100 * found['phases']['lapsed'][39] / 400:.1f} %" in said
    assert "not within 40 days" in said
    assert "out-and-back" in said


def test_its_csv_has_a_line_a_day(tmp_path: Path) -> None:
    file = tmp_path / "days.csv"
    found = told(*SMALL, "--csv", file)
    with file.open(encoding="utf-8", newline="") as lines:
        rows = list(csv.DictReader(lines))
    assert tuple(rows[0]) == COLUMNS
    assert [int(row["day"]) for row in rows] == list(range(1, 41))
    for phase, counts in found["phases"].items():
        assert [int(row[phase]) for row in rows] == counts
    assert [int(row["minutes"]) for row in rows] == found["minutes"]


def test_its_picture_says_in_words_what_it_shows(tmp_path: Path) -> None:
    file = tmp_path / "shares.svg"
    found = told(*SMALL, "--svg", file)
    picture = ET.fromstring(file.read_text(encoding="utf-8"))  # noqa: S314  our own picture
    assert picture.attrib["role"] == "img"
    assert picture.attrib["aria-labelledby"] == "title desc"
    said = picture.findtext(f"{SVG}desc") or ""
    share = f"steady {100 * found['phases']['steady'][-1] / 400:.1f} %"
    assert share in said
    assert "Shares on day 40: " in said
    texts = [text.text for text in picture.iter(f"{SVG}text")]
    assert {"100 %", "50 %", "0", "day 14"} <= set(texts)
    assert any(text and text.startswith(share) for text in texts)


def test_a_picture_fits_a_phone_and_keeps_within_its_frame(tmp_path: Path) -> None:
    for days in (1, 2, 3660):
        file = tmp_path / f"{days}.svg"
        told("--households", 3, "--adherence", 0.9, "--days", days, "--svg", file)
        picture = ET.fromstring(file.read_text(encoding="utf-8"))  # noqa: S314  the same
        assert picture.attrib["viewBox"].startswith("0 0 360 ")
        assert len(file.read_bytes()) < 40_000
        for band in picture.findall(f"{SVG}g/{SVG}path[@class='band']"):
            corners = [pair.split() for pair in band.attrib["d"].strip("MZ").split("L")]
            assert all(0 <= float(x) <= 298 and 0 <= float(y) <= 168 for x, y in corners)


def test_files_are_replaced_and_nothing_else_is(tmp_path: Path) -> None:
    file = tmp_path / "days.csv"
    file.write_text("what was there", encoding="utf-8")
    assert pace(*SMALL, "--csv", file).returncode == 0
    assert file.read_text(encoding="utf-8").startswith("day,ramping")
    assert list(tmp_path.iterdir()) == [file]


@pytest.mark.parametrize(("mask", "expected"), [(0o022, 0o644), (0o027, 0o640), (0o077, 0o600)])
def test_who_may_read_a_file_is_as_with_any_that_is_made_there(
    mask: int, expected: int, tmp_path: Path
) -> None:
    files = [tmp_path / name for name in ("days.csv", "shares.svg")]
    before = os.umask(mask)
    try:
        assert pace(*SMALL, "--csv", files[0], "--svg", files[1]).returncode == 0
    finally:
        os.umask(before)
    assert [stat.S_IMODE(file.stat().st_mode) for file in files] == [expected, expected]


def test_a_file_that_is_replaced_can_be_read_by_whom_it_could_be(tmp_path: Path) -> None:
    file = tmp_path / "days.csv"
    file.touch()
    file.chmod(0o604)
    assert pace(*SMALL, "--csv", file).returncode == 0
    assert stat.S_IMODE(file.stat().st_mode) == 0o604


@pytest.mark.parametrize("option", ["--csv", "--svg"])
def test_a_place_that_cannot_be_written_is_refused_before_the_work(option: str, tmp_path: Path) -> None:
    for place, says in ((tmp_path, "is a folder"), (tmp_path / "nowhere" / "file", "There is no folder")):
        ended = pace(*SMALL, option, place)
        assert (ended.returncode, ended.stdout) == (2, "")
        assert says in ended.stderr
    assert list(tmp_path.iterdir()) == []


def test_one_file_for_both_is_refused(tmp_path: Path) -> None:
    ended = pace(*SMALL, "--csv", tmp_path / "one", "--svg", tmp_path / "one")
    assert (ended.returncode, "cannot be both" in ended.stderr) == (2, True)


@pytest.mark.parametrize(
    ("changed", "says"),
    [
        (("--adherence-spread", "0.9..0.7"), "the lower one first"),
        (("--adherence-spread", "0.7"), "two chances from 0 to 1"),
        (("--adherence-spread", "0.7..1.1"), "two chances from 0 to 1"),
        (("--adherence-spread", "nan..nan"), "two chances from 0 to 1"),
        (("--adherence-spread", "low..high"), "two chances from 0 to 1"),
        (("--households", "0"), "a whole number from 1 to 100000000"),
        (("--households", "100000001"), "a whole number from 1 to 100000000"),
        (("--households", "many"), "a whole number from 1"),
        (("--days", "0"), "a whole number from 1 to 3660"),
        (("--days", "3661"), "a whole number from 1 to 3660"),
        (("--seed", "-1"), "a whole number from 0"),
        (("--seed", "1.5"), "a whole number from 0"),
        (("--drop-a-day", "1.5"), "a chance from 0 to 1"),
        (("--back-a-day", "-0.1"), "a chance from 0 to 1"),
        (("--block", "0"), "a whole number from 1"),
        (("--processes", "0"), "a whole number from 1 to 256"),
        (("--adherence", "0.8"), "Leave one out"),
        (("--compare", "2of3"), "two questions"),
        (("--pace", "quick"), "no pace “quick”"),
        (("--course", "nowhere"), "no course folder “nowhere”"),
        (("--cluster", "tcp://127.0.0.1:1", "--processes", "2"), "Leave one out"),
    ],
)
def test_what_cannot_be_simulated_is_said_plainly(changed: tuple[str, ...], says: str) -> None:
    ended = pace(*SMALL, *changed)
    assert (ended.returncode, ended.stdout) == (2, "")
    assert says in ended.stderr
    assert "Traceback" not in ended.stderr


def test_a_course_with_faults_is_refused(tmp_path: Path) -> None:
    (tmp_path / "course.toml").write_text('title = "None"\nramp_days = 60\n', encoding="utf-8")
    ended = pace(*SMALL, "--course", tmp_path)
    assert (ended.returncode, ended.stdout) == (2, "")
    assert "Traceback" not in ended.stderr


def test_how_likely_a_line_is_kept_has_to_be_said() -> None:
    ended = pace("--households", 5)
    assert (ended.returncode, "--adherence-spread 0.7..0.95" in ended.stderr) == (2, True)


@pytest.mark.parametrize(
    "asked",
    [("--days", "5"), ("--csv", "days.csv"), SPREAD, ("--cluster", "tcp://127.0.0.1:1"), ("--block", "1")],
)
def test_what_is_for_a_simulation_is_refused_without_one(asked: tuple[str, ...]) -> None:
    ended = pace("--adherence", "0.8", *asked)
    assert (ended.returncode, ended.stdout) == (2, "")
    assert f"{asked[0]} is for a simulation" in ended.stderr


def test_memory_does_not_grow_with_households() -> None:
    """Ten lots take no more than one does, but for noise; each is followed by itself."""
    one, ten = (_most_memory(lots * LOT) for lots in (1, 10))
    assert ten < MOST_MEMORY_MB
    assert ten - one < 10


def _most_memory(households: int) -> float:
    """The most memory of a process of its own, in MB.

    Asked of the kernel by VmHWM: getrusage(2) counts what whoever started it held, too, until the exec.
    """
    asked = [*COACH[1:], "pace", "--households", str(households), *SPREAD, "--days", "15", "--json"]
    look = (
        "import contextlib, io, pathlib, re\n"
        "from coach.cli import main\n"
        "with contextlib.redirect_stdout(io.StringIO()) as said:\n"
        f"    status = main({asked[2:]!r})\n"
        "assert status == 0 and said.getvalue()\n"
        "print(re.search(r'VmHWM:\\s+(\\d+) kB', pathlib.Path('/proc/self/status').read_text())[1])"
    )
    ended = subprocess.run([sys.executable, "-c", look], capture_output=True, text=True, check=True)
    return int(ended.stdout) / 1024
