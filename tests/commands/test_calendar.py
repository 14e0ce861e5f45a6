"""`coach calendar`: a file of what falls when, whole or not at all."""

from __future__ import annotations

from typing import TYPE_CHECKING

from icalendar import Calendar

from commands.running import coach
from commands.test_data import home, imported

if TYPE_CHECKING:
    from pathlib import Path

TODAY = ("--today", "2027-01-10")


def test_a_calendar_is_written_to_a_file_and_to_the_output(tmp_path: Path) -> None:
    assert imported(tmp_path) == 0
    file = tmp_path / "steading.ics"
    assert coach("calendar", "--out", file, "--holds", "routines", *home(tmp_path), *TODAY).returncode == 0
    events = Calendar.from_ical(file.read_bytes()).walk("VEVENT")
    assert {str(one["uid"]).partition("-")[0] for one in events} == {"routines"}
    shown = coach("calendar", "--holds", "routines", *home(tmp_path), *TODAY)
    assert shown.stdout.replace("\r\n", "\n") == file.read_text().replace("\r\n", "\n")


def test_a_file_that_is_there_is_replaced_only_when_told_so_and_the_database_never(tmp_path: Path) -> None:
    assert imported(tmp_path) == 0
    file = tmp_path / "steading.ics"
    file.write_text("mine")
    assert coach("calendar", "--out", file, *home(tmp_path), *TODAY).returncode == 2
    assert file.read_text() == "mine"
    assert coach("calendar", "--out", file, "--force", *home(tmp_path), *TODAY).returncode == 0
    assert file.read_text().startswith("BEGIN:VCALENDAR")
    found = coach("calendar", "--out", tmp_path / "home.db", "--force", *home(tmp_path), *TODAY)
    assert (found.returncode, "the database itself" in found.stderr) == (2, True)


def test_what_it_cannot_hold_is_refused_with_what_it_can(tmp_path: Path) -> None:
    assert imported(tmp_path) == 0
    found = coach("calendar", "--holds", "secrets", *home(tmp_path))
    assert found.returncode == 2
    assert "there is no “secrets”; use one of jobs, areas, dinner, dues, routines" in found.stderr
