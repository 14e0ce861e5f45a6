"""`coach pace`: how long a course takes."""

from __future__ import annotations

import json
import subprocess
import sys
from typing import TYPE_CHECKING

import pytest

from commands.running import Ended, coach

if TYPE_CHECKING:
    from pathlib import Path


def test_the_help_of_all_commands_loads_no_arrays() -> None:
    asked = "import sys, coach.cli; coach.cli.parser(); print(sorted({'numpy', 'scipy'} & set(sys.modules)))"
    found = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    assert found.stdout == "[]\n"


def pace(*arguments: object) -> Ended:
    return coach("pace", *arguments)


def test_it_tells_the_shipped_course_exactly() -> None:
    told = json.loads(pace("--adherence", 1, "--json").stdout)
    assert set(told) == {"mean", "p10", "p50", "p80", "p90", "steps"}
    assert (told["mean"], told["p10"], told["p90"]) == (21, 21, 21)
    assert [set(step) for step in told["steps"]] == [{"step", "mean"}] * 7
    gentle = json.loads(pace("--adherence", 1, "--pace", "gentle", "--json").stdout)
    assert (gentle["mean"], gentle["p50"]) == (28, 28)


def test_its_table_says_the_same_in_words_and_what_is_assumed() -> None:
    said = pace("--adherence", "0.8").stdout
    assert "with a chance of 8 in 10  31\n" in said
    assert "bed-made          4.0" in said
    assert "independent; holds and lapses are left out" in said


def test_what_never_ends_is_said_and_is_null() -> None:
    assert "never" in pace("--adherence", 0).stdout
    assert json.loads(pace("--adherence", 0, "--json").stdout)["mean"] is None


def test_what_takes_longer_than_anybody_lives_is_a_number_for_programs_and_words_for_people() -> None:
    assert "mean                      more than a hundred years\n" in pace("--adherence", "1e-9").stdout
    told = json.loads(pace("--adherence", "1e-9", "--json").stdout, parse_constant=pytest.fail)
    assert told["mean"] > 1e20
    assert told["p10"] is None
    assert (
        json.loads(pace("--adherence", "1e-150", "--json").stdout, parse_constant=pytest.fail)["mean"] is None
    )


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("--adherence", "1.2"), "a chance from 0 to 1"),
        (("--adherence", "nan"), "a chance from 0 to 1"),
        (("--adherence", "often"), "a chance from 0 to 1"),
        ((), "--adherence 0.8"),
        (("--adherence", "0.8", "--pace", "quick"), "no pace “quick”"),
        (("--adherence", "0.8", "--course", "nowhere"), "no course folder “nowhere”"),
    ],
)
def test_what_cannot_be_reckoned_is_said_plainly(arguments: tuple[str, ...], says: str) -> None:
    ended = pace(*arguments)
    assert ended.returncode == 2
    assert says in ended.stderr
    assert "Traceback" not in ended.stderr
    assert ended.stdout == ""


def test_a_course_that_cannot_be_said_exactly_is_refused_with_the_way_out(tmp_path: Path) -> None:
    (tmp_path / "course.toml").write_text('title = "Weekly"\nramp_days = 60\n', encoding="utf-8")
    step = '+++\ntitle = "One"\nrepeats = "FREQ=WEEKLY;BYDAY=MO"\n+++\n# One\n\nText.\n'
    (tmp_path / "01-one.md").write_text(step, encoding="utf-8")
    ended = pace("--adherence", "0.8", "--course", tmp_path)
    assert ended.returncode == 2
    assert "--households" in ended.stderr
