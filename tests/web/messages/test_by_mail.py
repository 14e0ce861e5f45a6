"""From the tap on the page to a mail server and by the link in the letter back; the same by the command."""

from __future__ import annotations

import re
from contextlib import closing
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

import pytest

from coach.ground.ports import Context
from coach.household import start
from coach.store.opening import open_store
from commands.running import coach
from habits.house import HOME, SMALL, Shelf
from machine.mail_service import HOST, SENDER, MailService
from messages.post import PostOffice, asked
from web.house import House
from web.messages.with_post import rung

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

ANA = {"way": "mail", "at": "07:00", "address": "ana@example.org"}


@pytest.fixture(scope="module")
def mailing(tmp_path_factory: pytest.TempPathFactory) -> Iterator[MailService]:
    with MailService(tmp_path_factory.mktemp("mail")) as service:
        yield service


def settings(mailing: MailService) -> dict[str, object]:
    """How letters go to that server."""
    mailing.got.clear()
    return {
        "mail_server": HOST,
        "mail_port": mailing.port,
        "mail_security": "none",
        "mail_from": SENDER,
    }


def test_a_message_arrives_by_mail_once_and_its_link_ends_them(mailing: MailService, tmp_path: Path) -> None:
    house = House(tmp_path, **settings(mailing))
    house.start()
    house.now = house.now.replace(hour=6)
    assert house.http.post("/reminders", data=ANA).status_code == 303
    house.now = house.now.replace(hour=7)
    assert [rung(house).sent, rung(house).sent] == [1, 0]
    [(to, letter)] = mailing.got
    text = letter.get_content()
    assert (to, letter["Subject"]) == (["ana@example.org"], house.day()["lesson"]["title"])
    assert "1 line today." in text
    [link] = re.findall(r"http://127\.0\.0\.1:8420(/stop/\S+)", text)
    assert house.http.post(link).status_code == 200
    house.sleep()
    assert rung(house).looked == 0
    house.close()


def test_a_busy_mail_server_is_asked_again_and_the_letter_arrives_once(
    mailing: MailService, tmp_path: Path
) -> None:
    house = House(tmp_path, **settings(mailing))
    house.start()
    house.now = house.now.replace(hour=6)
    house.http.post("/reminders", data=ANA)
    house.now = house.now.replace(hour=7)
    mailing.answers["RCPT"] = "450 4.2.0 Later"
    assert rung(house).later == 1
    mailing.answers.clear()
    house.now += timedelta(hours=1)
    assert [rung(house).sent, rung(house).sent] == [1, 0]
    assert len(mailing.got) == 1
    house.close()


def test_the_command_sends_what_is_due_once_and_names_nobody(
    mailing: MailService, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    url, now = f"sqlite:///{tmp_path / 'home.db'}", datetime.now(UTC)
    with closing(open_store(url)) as store:
        context = Context(store, Shelf(SMALL), lambda: now - timedelta(minutes=5))
        start.start(context, HOME, None)
        asked(context, PostOffice(), at=now.time().replace(second=0, microsecond=0))
    for name, value in settings(mailing).items():
        monkeypatch.setenv(f"COACH_{name.upper()}", str(value))
    first, second = (coach("send-due", "--database", url) for _ in range(2))
    assert (first.returncode, first.stdout) == (0, "1 reminder looked at: 1 sent\n")
    assert (second.returncode, second.stdout) == (0, "0 reminders looked at: nothing was due\n")
    assert [to for to, _ in mailing.got] == [["ana@example.org"]]


def test_the_command_says_what_could_not_be_looked_at_and_ends_with_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    url = f"sqlite:///{tmp_path / 'home.db'}"
    with closing(open_store(url)) as store:
        context = Context(store, Shelf(SMALL), lambda: datetime.now(UTC) - timedelta(days=1))
        start.start(context, HOME, None)
        asked(context, PostOffice())

    def torn(*_: object) -> None:
        raise ValueError("ana@example.org")

    monkeypatch.setattr("coach.messages.sending._look", torn)
    ended = coach("send-due", "--database", url)
    assert ended.returncode == 1
    assert "could not be looked at: ValueError" in ended.stdout
    assert "ana@" not in ended.stdout + ended.stderr
