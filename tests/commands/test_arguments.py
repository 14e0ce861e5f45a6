from __future__ import annotations

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


@pytest.mark.parametrize("arguments", [("--help",), ("serve", "--help"), ("course", "draw", "--help")])
def test_help_is_help(arguments: tuple[str, ...]) -> None:
    ended = coach(*arguments)
    assert ended.returncode == 0
    assert ended.stdout.startswith("usage: coach")


def test_every_command_is_found_in_the_module_said_to_hold_it() -> None:
    whole = coach("--help").stdout
    for name in MODULES:
        assert f"\n    {name} " in whole
        assert coach(name, "--help").stdout.startswith(f"usage: coach {name} ")
