from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from coach.machine import unit
from commands.running import coach

if TYPE_CHECKING:
    from pathlib import Path

FLAGS = ("--port", "8500", "--database", "sqlite:///my home.db")


@pytest.fixture(autouse=True)
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where the unit would be written, on a machine with systemd."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    monkeypatch.setattr(unit, "has_systemd", lambda: True)
    return tmp_path / "systemd" / "user" / "steading.service"


def test_the_flags_that_follow_are_those_of_the_service(file: Path) -> None:
    ended = coach("install-service", *FLAGS)
    assert (ended.returncode, ended.stderr) == (0, "")
    line = next(one for one in file.read_text().splitlines() if one.startswith("ExecStart="))
    assert line.endswith(' serve --port 8500 --database "sqlite:///my home.db"')


def test_it_says_what_to_type_next(file: Path) -> None:
    said = coach("install-service", *FLAGS).stdout
    assert str(file) in said
    assert "    systemctl --user enable --now steading\n    loginctl enable-linger\n" in said


def test_print_writes_nothing(file: Path) -> None:
    said = coach("install-service", *FLAGS, "--print").stdout
    assert "ExecStart=:" in said
    assert "--print" not in said
    assert not file.exists()


def test_other_flags_need_replace_and_then_it_says_to_start_it_anew(file: Path) -> None:
    coach("install-service", *FLAGS)
    refused = coach("install-service")
    assert refused.returncode == 2
    assert "--replace" in refused.stderr
    assert "8500" in file.read_text()
    said = coach("install-service", "--replace").stdout
    assert "systemctl --user daemon-reload\n    systemctl --user restart steading\n" in said
    assert "8500" not in file.read_text()


def test_a_flag_that_serve_does_not_take_is_refused_now_and_not_at_every_start(file: Path) -> None:
    ended = coach("install-service", "--port", "eight")
    assert ended.returncode == 2
    assert ended.stderr.startswith("coach serve: ")
    assert not file.exists()


def test_what_the_service_will_not_see_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COACH_DATABASE", "sqlite:///elsewhere.db")
    said = coach("install-service").stdout
    assert "The service does not see what is set here alone: COACH_DATABASE." in said
    assert "elsewhere" not in said


def test_without_systemd_it_says_how_and_writes_nothing(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(unit, "has_systemd", lambda: False)
    ended = coach("install-service", *FLAGS)
    assert ended.returncode == 0
    assert "serve --port 8500" in ended.stdout
    assert not file.exists()
