"""What can be set, from the environment."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest
from pydantic import ValidationError

from coach.settings import Settings
from web.house import House

if TYPE_CHECKING:
    from pathlib import Path


def test_without_anything_set_it_listens_to_this_machine_alone_and_keeps_its_data_with_the_user(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    settings = Settings()
    assert settings.host == "127.0.0.1"
    assert settings.database.startswith("sqlite:///")
    assert settings.database.endswith("steading.db")


def test_the_environment_sets_each(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("COACH_TODAY", "2027-01-25")
    monkeypatch.setenv("COACH_LESSONS", str(tmp_path))
    monkeypatch.setenv("COACH_HOSTS", '["tern-street.example"]')
    settings = Settings()
    assert settings.today == date(2027, 1, 25)
    assert (settings.lessons, settings.hosts) == (tmp_path, ("tern-street.example",))


@pytest.mark.parametrize(("name", "value"), [("COACH_PORT", "70000"), ("COACH_TODAY", "soon")])
def test_a_value_that_cannot_be_read_is_refused(
    monkeypatch: pytest.MonkeyPatch, name: str, value: str
) -> None:
    monkeypatch.setenv(name, value)
    with pytest.raises(ValidationError):
        Settings()


def test_another_day_can_be_tried(tmp_path: Path) -> None:
    house = House(tmp_path, today=date(2030, 5, 17))
    assert house.start(zone="Pacific/Kiritimati")["date"] == "2030-05-17"
    house.close()
