from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from coach.errors import NotReady
from coach.machine import unit

ODD = [
    "plain",
    "two words",
    "100%",
    "a$HOME${HOME}",
    'qu"ote',
    "back\\slash",
    "it's",
    "%h",
    "ünï",
    "semi;colon",
    "#",
]


def program(folder: Path) -> Path:
    """A program that can be started."""
    folder.mkdir(parents=True, exist_ok=True)
    script = folder / "coach"
    script.write_text("#!/bin/sh\n")
    script.chmod(0o755)
    return script


def verified(text: str, folder: Path) -> subprocess.CompletedProcess[str]:
    """What systemd itself says of a unit, with no other units around."""
    if shutil.which("systemd-analyze") is None:
        pytest.skip("there is no systemd-analyze (Debian: systemd)")
    file = folder / unit.NAME
    file.write_text(text, encoding="utf-8")
    run = folder / "run"
    run.mkdir(exist_ok=True)
    return subprocess.run(
        ["systemd-analyze", "verify", "--user", str(file)],
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "XDG_RUNTIME_DIR": str(run), "LC_ALL": "C.UTF-8"},
    )


def test_systemd_finds_nothing_wrong_with_it(tmp_path: Path) -> None:
    found = verified(unit.text_of([str(program(tmp_path)), "serve", *ODD], tmp_path), tmp_path)
    assert (found.returncode, found.stderr) == (0, "")


def test_systemd_reads_words_as_they_were(tmp_path: Path) -> None:
    """It looks whether the program is there, so the words are the folders of one that is, and then is not."""
    script = program(tmp_path.joinpath(*(word for word in ODD if not set(word) & set("'\"\\"))))
    text = unit.text_of([str(script), "serve"], tmp_path)
    assert verified(text, tmp_path).stderr == ""
    script.unlink()
    assert "is not executable" in verified(text, tmp_path).stderr


@pytest.mark.parametrize("sign", ["'", '"', "\\"])
def test_a_program_that_systemd_will_not_start_is_refused(sign: str) -> None:
    with pytest.raises(NotReady, match="quote or a backslash"):
        unit.text_of([f"/opt/it{sign}s/coach"], Path("/"))


@pytest.mark.parametrize(
    ("word", "written"),
    [
        ("--home", "--home"),
        ("sqlite:///my home.db", '"sqlite:///my home.db"'),
        ("100%", "100%%"),
        ('a "b" \\c', '"a \\"b\\" \\\\c"'),
        ("two\nlines", '"two\\x0alines"'),
        ("", '""'),
        (";", '";"'),
    ],
)
def test_words_are_written_as_its_syntax_wants_them(word: str, written: str) -> None:
    assert f"ExecStart=:coach {written}\n" in unit.text_of(["coach", word], Path("/"))


def test_a_folder_with_a_per_cent_sign_stays_that_folder() -> None:
    assert "WorkingDirectory=/my home/100%%\n" in unit.text_of(["coach"], Path("/my home/100%"))


def test_it_starts_the_program_that_runs_now() -> None:
    told = subprocess.run(
        [*unit.this_program(), "replay", "--help"], capture_output=True, text=True, check=True
    ).stdout
    assert told.startswith("usage: coach replay")
    assert unit.this_program()[0].startswith(str(Path(sys.executable).parent))


def test_without_a_script_it_is_python_with_its_module(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(sys, "executable", str(tmp_path / "python3"))
    assert unit.this_program() == (str(tmp_path / "python3"), "-m", "coach.cli")


def test_it_lies_where_the_user_keeps_settings(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    assert unit.place() == tmp_path / "systemd" / "user" / "steading.service"
    monkeypatch.delenv("XDG_CONFIG_HOME")
    monkeypatch.setenv("HOME", "/her")
    assert unit.place() == Path("/her/.config/systemd/user/steading.service")


def test_one_that_was_changed_is_left_alone_until_it_may_be_replaced(tmp_path: Path) -> None:
    path = tmp_path / "user" / unit.NAME
    assert not unit.install(path, "one", replace=False)
    assert unit.install(path, "one", replace=False)
    with pytest.raises(NotReady, match="--replace"):
        unit.install(path, "two", replace=False)
    assert path.read_text() == "one"
    assert unit.install(path, "two", replace=True)
    assert path.read_text() == "two"
    assert [one.name for one in path.parent.iterdir()] == [unit.NAME]


def test_a_folder_that_cannot_be_made_is_said(tmp_path: Path) -> None:
    (tmp_path / "user").write_text("a file")
    with pytest.raises(NotReady, match="Put there yourself"):
        unit.install(tmp_path / "user" / unit.NAME, "one", replace=False)


@pytest.mark.parametrize(
    ("system", "starter", "line"),
    [
        ("win32", "Task Scheduler", 'coach serve --database "my home.db"'),
        ("darwin", "launchd", "coach serve --database 'my home.db'"),
        ("freebsd14", "whatever starts your services", "coach serve --database 'my home.db'"),
    ],
)
def test_other_systems_are_told_the_command_line(system: str, starter: str, line: str) -> None:
    told = unit.elsewhere(["coach", "serve", "--database", "my home.db"], system)
    assert starter in told
    assert f"    {line}\n" in told
