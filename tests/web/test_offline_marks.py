"""Marks made without network: in whatever order they come, however often, the last tap stands."""

from __future__ import annotations

import json
import os
import random
import re
import shutil
import subprocess
import sys
import tempfile
import uuid
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from http.client import HTTPConnection, HTTPException
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

import pytest

from commands.running import COACH, coach
from web.at_home import HomeHouse

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence
    from datetime import date

TAPS = 100
DAYS = 5
"""How far back they go."""

TAPPED = datetime.now(UTC).replace(hour=8, minute=0, second=0, microsecond=0) - timedelta(days=2)
"""When the first of them was tapped; not ahead of the clock that a service of its own goes by."""
PATIENCE = 30


@dataclass(frozen=True)
class Tap:
    """A mark as a phone keeps it until it is sent."""

    who: str
    on: date
    step: str
    mark: str | None
    at: datetime

    def asked(self, *, offline: bool) -> tuple[str, str, dict[str, str]]:
        """Method, address and, for a mark, the body; the same each time it is sent."""
        name = f"{self.who} {self.at}"
        said = {"tapped_at": self.at.isoformat(), "request_id": str(uuid.uuid5(uuid.NAMESPACE_URL, name))}
        said = said if offline else {}
        address = f"/api/days/{self.on}/marks/{self.step}"
        if self.mark:
            return "PUT", address, {"mark": self.mark} | said
        return "DELETE", f"{address}?{urlencode(said)}" if said else address, {}


@pytest.fixture
def folder() -> Iterator[Path]:
    """A folder in memory where there is one, since hundreds of writes would wait for a disk."""
    memory = Path("/dev/shm")  # noqa: S108  only if it is there
    with tempfile.TemporaryDirectory(dir=memory if memory.is_dir() else None) as folder:
        yield Path(folder)


@pytest.fixture
def home(folder: Path) -> HomeHouse:
    """A household of some days, on the morning of the first tap."""
    house = HomeHouse(folder)
    house.now = TAPPED - timedelta(days=DAYS + 1, hours=1)
    house.start()
    house.live(DAYS + 1)
    return house


def token(house: HomeHouse, name: str) -> str:
    """What a phone of somebody shows."""
    answer = house.phone().post("/api/pair", json={"code": house.code(), "name": name, "token": "write"})
    return str(answer.json()["token"])


def taps(house: HomeHouse, seed: int) -> list[Tap]:
    """What two phones tapped over the lines of some days, a minute after the other."""
    chance = random.Random(seed)  # noqa: S311  the same each time
    dates = [house.today - timedelta(days=ago) for ago in range(DAYS)]
    lines = [
        (on, line["step"]) for on in dates for line in house.http.get(f"/api/days/{on}").json()["checklist"]
    ]
    return [
        Tap(
            chance.choice(["Ana", "Ben"]),
            *chance.choice(lines),
            chance.choice(["kept", "small", "missed", "excused", None]),
            TAPPED + timedelta(minutes=1 + number),
        )
        for number in range(TAPS)
    ]


def shuffled(sent: Sequence[Tap], seed: int) -> list[Tap]:
    """Every tap one to three times, in any order."""
    chance = random.Random(seed)  # noqa: S311  the same each time
    often = [tap for tap in sent for _ in range(chance.randint(1, 3))]
    chance.shuffle(often)
    return often


def to_client(house: HomeHouse, tokens: dict[str, str], *, offline: bool) -> Callable[[Tap], int]:
    """Send to the application in this process."""
    phone = house.phone()
    del phone.headers["origin"]

    def send(tap: Tap) -> int:
        method, address, body = tap.asked(offline=offline)
        headers = {"authorization": f"Bearer {tokens[tap.who]}"}
        return phone.request(method, address, json=body or None, headers=headers).status_code

    return send


def standing(house: HomeHouse, folder: Path) -> tuple[Any, str]:
    """The marks of the days, and where the household stands by a replay of its exported log."""
    dates = [house.today - timedelta(days=ago) for ago in range(DAYS)]
    marks = {
        (str(on), line["step"]): line["mark"]
        for on in dates
        for line in house.http.get(f"/api/days/{on}").json()["checklist"]
    }
    log = folder / "log.csv"
    log.write_bytes(house.http.get("/api/log.csv").content)
    replayed = coach("replay", "--course", "three-weeks", "--on", house.today, log)
    assert replayed.returncode == 0, replayed.stderr
    return marks, replayed.stdout


def test_taps_in_any_order_and_doubled_end_as_they_would_have_online(folder: Path, home: HomeHouse) -> None:
    tokens = {name: token(home, name) for name in ("Ana", "Ben")}
    sent = taps(home, 1)
    home.now = sent[-1].at + timedelta(hours=1)
    other = folder / "online"
    other.mkdir()
    home.app.state.context.store.close()
    shutil.copy(folder / "home.db", other / "home.db")
    late, online = HomeHouse(folder), HomeHouse(other)
    late.now = online.now = home.now
    answers = [to_client(late, tokens, offline=True)(tap) for tap in shuffled(sent, 1)]
    assert set(answers) == {200, 409}
    send = to_client(online, tokens, offline=False)
    assert {send(tap) for tap in sent} == {200}
    found, expected = standing(late, folder), standing(online, other)
    late.close()
    online.close()
    assert found == expected


class Service:
    """`coach serve` as a process of its own, which can be killed and started again.

    Args:
        database: The file it serves.
        today: The date it takes for today's.
    """

    def __init__(self, database: Path, today: date) -> None:
        self._command = (*COACH, "serve", "--database", f"sqlite:///{database}", "--today", str(today))
        self.start()

    def start(self) -> None:
        """Begin to answer."""
        self.process = subprocess.Popen(
            [*self._command, "--port", "0"],
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
            env={**os.environ, "COACH_WAY": "home", "PYTHONPATH": os.pathsep.join(sys.path)},
        )
        assert self.process.stdout is not None
        found = None
        while found is None:
            line = self.process.stdout.readline()
            assert line, "it ended"
            found = re.search(r"http://[\w.]+:(\d+)", line)
        self.port = int(found[1])

    def kill(self) -> None:
        """End it with SIGKILL."""
        self.process.kill()
        self.process.communicate(timeout=PATIENCE)

    def ask(self, method: str, address: str, body: dict[str, str], bearer: str) -> HTTPConnection:
        """A request that is on its way."""
        connection = HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE)
        headers = {"Content-Type": "application/json", "Authorization": f"Bearer {bearer}"}
        connection.request(method, address, json.dumps(body) if body else None, headers)
        return connection


def test_what_two_phones_send_while_the_service_is_killed_is_what_they_tapped(
    folder: Path, home: HomeHouse
) -> None:
    tokens = {name: token(home, name) for name in ("Ana", "Ben")}
    sent = taps(home, 3)
    home.now = sent[-1].at + timedelta(hours=1)
    home.app.state.context.store.close()
    other = folder / "online"
    other.mkdir()
    shutil.copy(folder / "home.db", other / "home.db")
    service = Service(folder / "home.db", home.today)
    try:
        deliver(service, shuffled(sent, 3), tokens)
    finally:
        service.kill()
    late, online = HomeHouse(folder), HomeHouse(other)
    late.now = online.now = home.now
    send = to_client(online, tokens, offline=False)
    assert {send(tap) for tap in sent} == {200}
    found, expected = standing(late, folder), standing(online, other)
    late.close()
    online.close()
    assert found == expected


def deliver(service: Service, sent: Sequence[Tap], tokens: dict[str, str]) -> None:
    """Send each until it is answered; twice the service is killed with one on its way."""
    killed = {len(sent) // 3, 2 * len(sent) // 3}
    for number, tap in enumerate(sent):
        method, address, body = tap.asked(offline=True)
        connection = service.ask(method, address, body, tokens[tap.who])
        if number in killed:
            service.kill()
            with suppress(HTTPException, OSError):
                connection.getresponse()
            service.start()
            connection = service.ask(method, address, body, tokens[tap.who])
        assert connection.getresponse().status in {200, 409}
        connection.close()
