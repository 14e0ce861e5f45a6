"""What can be set, from the environment."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest
from pydantic import ValidationError

from coach.errors import Malformed
from coach.settings import Settings, read_settings
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


@pytest.mark.parametrize(
    "address", ["https://steading.example.org", "http://192.168.1.20:8420", "http://[fd12::20]:8420"]
)
def test_where_pages_are_found_from_outside_is_a_host_and_no_more(address: str) -> None:
    assert Settings(public_url=address).public_url == Settings(public_url=f"{address}/").public_url == address


@pytest.mark.parametrize(
    "address", ["", "steading.example.org", "ftp://x.example", "https://x.example/sub", "https://a@x.example"]
)
def test_an_address_that_links_could_not_begin_with_is_refused(address: str) -> None:
    with pytest.raises(Malformed, match=r"public_url .*has to be an address such as https://home.example"):
        read_settings(public_url=address)


def test_the_password_of_the_mail_server_is_in_no_text(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COACH_MAIL_PASSWORD", "open sesame")
    settings = Settings()
    assert settings.mail_password.get_secret_value() == "open sesame"
    assert "sesame" not in f"{settings!r} {settings} {settings.model_dump_json()}"
    with pytest.raises(Malformed) as error:
        read_settings(mail_port=0, mail_security="much")
    assert "sesame" not in str(error.value)


def test_another_day_can_be_tried(tmp_path: Path) -> None:
    house = House(tmp_path, today=date(2030, 5, 17))
    assert house.start(zone="Pacific/Kiritimati")["date"] == "2030-05-17"
    house.close()
