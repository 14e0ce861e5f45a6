from __future__ import annotations

import json
import shutil
import socket
from collections import namedtuple
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, Any

import pytest

from coach.commands import doctor
from coach.machine import network_checks
from coach.machine.tls import HouseholdTls
from commands.running import Ended, coach
from machine.places import HOME

if TYPE_CHECKING:
    from pathlib import Path

LOG = "date,what,step,value\n2027-01-04,start,bed-made,standard\n"
Usage = namedtuple("Usage", "total used free")  # noqa: PYI024  as the library's own


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A database with a household in it, to be copied."""
    file = tmp_path_factory.mktemp("kept") / "home.db"
    made = coach("import", "-", "--database", f"sqlite:///{file}", "--today", "2027-01-10", text=LOG)
    assert made.returncode == 0
    return file


@pytest.fixture(autouse=True)
def machine(kept: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A machine in a quiet home, with a database in order; its folder."""
    data = tmp_path / "data"
    data.mkdir(mode=0o700)
    with socket.create_server(("127.0.0.1", 0)) as taken:
        monkeypatch.setenv("COACH_PORT", str(taken.getsockname()[1]))
    monkeypatch.setenv("COACH_DATABASE", f"sqlite:///{data / 'home.db'}")
    monkeypatch.setenv("COACH_TLS_FOLDER", str(data / "certificates"))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "share"))
    monkeypatch.setattr(doctor, "private_addresses", lambda: HOME)
    monkeypatch.setattr(network_checks, "names", lambda _found, _port: ())
    monkeypatch.setattr(network_checks, "ASK_SECONDS", 0.3)
    shutil.copy2(kept, data / "home.db")
    return data


def findings(ended: Ended) -> list[dict[str, str]]:
    found: dict[str, Any] = json.loads(ended.stdout)
    return list(found["findings"])


def test_where_nothing_is_wrong_each_check_has_a_line_and_the_status_is_0() -> None:
    ended = coach("doctor")
    assert (ended.returncode, ended.stderr) == (0, "")
    lines = ended.stdout.splitlines()
    about = [line.split()[1] for line in lines[:-1]]
    assert about == [
        "port:",
        "addresses:",
        "certificate:",
        "database:",
        "clock:",
        "folders:",
        "push:",
        "mail:",
    ]
    assert all(line.startswith("fine   ") for line in lines[:-1])
    assert lines[-1] == "Nothing is wrong."


def test_what_is_wrong_is_followed_by_what_to_do_and_the_status_is_1(machine: Path) -> None:
    (machine / "home.db").chmod(0o644)
    ended = coach("doctor")
    assert ended.returncode == 1
    found = f"wrong  folders: Other users of this machine may look into {machine / 'home.db'}."
    assert f"{found}\n       Close it: " in ended.stdout
    assert ended.stdout.endswith("One thing is wrong.\n")


def test_json_says_the_same(machine: Path) -> None:
    (machine / "home.db").chmod(0o644)
    ended = coach("doctor", "--json")
    assert ended.returncode == 1
    (found,) = findings(ended)
    assert found["about"] == "folders"
    assert found["mend"] == f"Close it: chmod 600 {machine / 'home.db'}"
    fine = json.loads(ended.stdout)["fine"]
    others = ["port", "addresses", "certificate", "database", "clock", "push", "mail"]
    assert [one["about"] for one in fine] == others


def test_a_mail_server_is_asked_where_that_is_wanted_and_its_password_is_not_shown(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
    mail = {"SERVER": "localhost", "PORT": str(port), "USER": "ana", "PASSWORD": "open sesame"}
    for name, value in {**mail, "FROM": "ana@home.example"}.items():
        monkeypatch.setenv(f"COACH_MAIL_{name}", value)
    assert coach("doctor").returncode == 0
    ended = coach("doctor", "--mail")
    assert ended.returncode == 1
    assert (
        f"wrong  mail: The mail server was not reached: Connection refused. It is localhost, port {port}."
        in (ended.stdout)
    )
    assert "sesame" not in ended.stdout


def test_several_things_are_counted(machine: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(doctor, "private_addresses", lambda: ())
    (machine / "home.db").write_text("Dear neighbours, " * 100)
    ended = coach("doctor")
    assert ended.returncode == 1
    assert "wrong  database: The database" in ended.stdout
    assert ended.stdout.endswith("2 things are wrong.\n")


def test_a_port_that_is_taken_is_found() -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        number = taken.getsockname()[1]
        taken.settimeout(0)
        (found,) = findings(coach("doctor", "--json", "--port", number))
    assert found["text"].startswith(f"Another program has port {number}")


def test_a_clock_behind_the_newest_row_is_found(machine: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    class Behind(datetime):
        @classmethod
        def now(cls, tz: object = None) -> Any:  # noqa: ANN401, ARG003  as the library has it
            return datetime.now(UTC) - timedelta(hours=2)

    monkeypatch.setattr(doctor, "datetime", Behind)
    texts = [one["text"] for one in findings(coach("doctor", "--json"))]
    assert len(texts) == 2
    assert f"{machine / 'home.db'} was written at" in texts[0]
    assert "the newest row of the database was written at" in texts[1]


def test_the_certificate_is_looked_at(machine: Path) -> None:
    HouseholdTls(machine / "certificates", HOME[:1], datetime.now(UTC))
    (found,) = findings(coach("doctor", "--json"))
    assert found["text"] == "The service's certificate has to be made anew: it lacks fd12:3456::20."


def test_a_disk_that_is_nearly_full_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shutil, "disk_usage", lambda _folder: Usage(10**12, 10**12 - 10**6, 10**6))
    (found,) = findings(coach("doctor", "--json"))
    assert found["text"].startswith("Only 1.0 MB are free on the disk of ")


def test_no_database_yet_is_nothing_wrong_and_none_is_made(machine: Path) -> None:
    (machine / "home.db").unlink()
    assert coach("doctor").returncode == 0
    assert not (machine / "home.db").exists()


@pytest.mark.parametrize("arguments", [("--database", "mysql://nowhere"), ("--port", "0"), ("--all",)])
def test_bad_arguments_end_with_status_2(arguments: tuple[str, ...]) -> None:
    assert coach("doctor", *arguments).returncode == 2


def test_hosted_it_looks_at_the_public_address_and_at_no_home(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    database = f"sqlite:///{tmp_path / 'home.db'}"
    monkeypatch.setenv("COACH_WAY", "hosted")
    said = json.loads(coach("doctor", "--json", "--database", database, "--port", "8733").stdout)
    assert "needs --public-url" in str([one["text"] for one in said["findings"]])
    assert "names" not in {one["about"] for one in (*said["findings"], *said["fine"])}
    monkeypatch.setenv("COACH_PUBLIC_URL", "https://steading.example")
    said = json.loads(coach("doctor", "--json", "--database", database, "--port", "8733").stdout)
    assert {"about": "address", "text": "People find it under https://steading.example."} in said["fine"]
