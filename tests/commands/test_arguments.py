from __future__ import annotations

import re

import pytest

from coach.cli import MODULES
from commands.running import coach


@pytest.mark.parametrize(
    "arguments",
    [
        (),
        ("bogus",),
        ("serve", "--port", "many"),
        ("serve", "--port", "70000"),
        ("serve", "--today", "soon"),
        ("course",),
        ("course", "check"),
        ("replay", "log.csv"),
        ("import",),
        ("backup", "to.db", "--database", "mysql://nowhere"),
    ],
)
def test_bad_arguments_end_with_status_2_and_one_line(arguments: tuple[str, ...]) -> None:
    ended = coach(*arguments)
    assert ended.returncode == 2
    assert ended.stdout == ""
    assert ended.stderr.count("\n") == 1


WORDS = [
    ("", "coach: COMMAND is missing: one of serve, demo, replay, course,"),
    ("bogus", "coach: COMMAND: there is no “bogus”; use one of serve, demo, replay, course,"),
    ("serve --port x", "coach serve: --port: it needs a whole number from 0 to 65535, not “x”"),
    ("serve --port 99999", "coach serve: --port: it needs a whole number from 0 to 65535, not “99999”"),
    ("serve --port -1", "coach serve: --port"),
    ("serve --port", "coach serve: --port needs a value: the port to listen on"),
    ("serve --bogus", "coach serve: there is no option “--bogus”; use one of --help, --database,"),
    ("serve --por 1", "coach serve: there is no option “--por”; use one of --help, --database,"),
    (
        "demo --today 9999-12-31",
        "coach: The setting today cannot be “9999-12-31”. It has to be a date from 1900",
    ),
    ("demo --today 2027-02-30", "coach demo: --today: “2027-02-30” is not a date. Write it as YYYY-MM-DD"),
    (
        "replay a.csv",
        "coach replay: --course is missing: the course it follows; --on is missing: the date, YYYY",
    ),
    (
        "replay a.csv --course b --on 2027-13-01",
        "coach replay: --on: “2027-13-01” is not a date. Write it as",
    ),
    ("replay a.csv --each-day=3", "coach replay: --each-day takes no value"),
    ("course", "coach course: COMMAND is missing: one of check, show, draw, new"),
    ("course bogus", "coach course: COMMAND: there is no “bogus”; use one of check, show, draw, new"),
    ("course check", "coach course check: FOLDER is missing: a folder to check"),
    ("course check a b", "coach course check: “b” is one argument too many; give FOLDER alone"),
    ("import", "coach import: FILE is missing: a file that export wrote"),
    ("rotation --areas 13", "coach rotation: --areas: it needs a whole number from 1 to 12, not “13”"),
    ("rotation --mode x", "coach rotation: --mode: there is no “x”; use one of continuous, month"),
    ("rotation --mode need", "coach rotation: --mode: there is no “need”; use one of continuous, month"),
    ("thaw --kind", "coach thaw: --kind needs a value: one of poultry, fish"),
]


@pytest.mark.parametrize(("given", "words"), WORDS)
def test_what_is_wrong_and_what_is_allowed_is_said_in_our_own_words(given: str, words: str) -> None:
    ended = coach(*given.split())
    assert ended.returncode == 2
    assert ended.stderr.startswith(words)
    for not_ours in ("invalid", "argument -", "required", "expected", "unrecognized", "Input should"):
        assert not_ours not in ended.stderr


@pytest.mark.parametrize(
    ("name", "value", "words"),
    [
        ("PORT", "99999", "coach: The setting port cannot be “99999”. It has to be a whole number from 0"),
        ("TODAY", "soon", "coach: The setting today cannot be “soon”. It has to be a date from 1900-01-01"),
        ("HOSTS", "a,b", "coach: COACH_HOSTS has to be a list of names"),
    ],
)
def test_so_are_the_faults_of_the_environment(
    name: str, value: str, words: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(f"COACH_{name}", value)
    ended = coach("serve")
    assert ended.returncode == 2
    assert ended.stderr.startswith(words)


@pytest.mark.parametrize("arguments", [("--help",), ("serve", "--help"), ("course", "draw", "--help")])
def test_help_is_help(arguments: tuple[str, ...]) -> None:
    ended = coach(*arguments)
    assert ended.returncode == 0
    assert ended.stdout.startswith("usage: coach")


def test_every_command_is_found_in_the_module_said_to_hold_it() -> None:
    whole = coach("--help").stdout
    for name in MODULES:
        assert re.search(rf"\n    {name}\s", whole)
        assert coach(name, "--help").stdout.startswith(f"usage: coach {name} ")
