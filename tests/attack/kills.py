"""Kill rounds: the service is killed while several clients write, and has to have all that it answered.

`PYTHONPATH=tests .venv/bin/python -m attack.kills --rounds 200`
"""

from __future__ import annotations

import sqlite3
import sys
import threading
import time
from contextlib import closing
from dataclasses import dataclass, field
from datetime import date, timedelta
from itertools import count
from typing import TYPE_CHECKING

from attack.rounds import run
from attack.service import NO_ANSWER, Client, Service, fill_home

if TYPE_CHECKING:
    from attack.rounds import Attack

ROUNDS = 200
WRITERS = 4
LONGEST = 0.8
"""Seconds after its start within which the service is killed."""
WORDS = ("kept", "small", "missed", "excused")
BUSY = 503


@dataclass
class Writer:
    """One client that marks a step of a date and plans a dinner, in turn, until nobody answers any more.

    Attributes:
        on: The date of its mark, one of the latest days.
        dines: The date of its dinner, one of the next.
        answered: The last value that was answered, for the mark and for the dinner.
        sent: The last value that was sent.
        requests: The names of the marks that were answered.
    """

    on: date
    dines: date
    step: str
    answered: dict[str, str] = field(default_factory=dict)
    sent: dict[str, str] = field(default_factory=dict)
    requests: list[str] = field(default_factory=list)
    written: int = 0
    refused: list[str] = field(default_factory=list)

    def write_until_killed(self, port: int) -> None:
        """Write, until the other side is gone; a mark like the one before would be no row."""
        client = Client(port)
        try:
            for turn in count(WORDS.index(self.answered["mark"]) + 1):
                self._mark(client, WORDS[turn % len(WORDS)], f"k-{self.on}-{time.time_ns()}")
                self._dine(client, f"Soup {time.time_ns()}")
        except NO_ANSWER:
            return
        finally:
            client.close()

    def _mark(self, client: Client, word: str, request: str) -> None:
        self.sent["mark"] = word
        path = f"/api/days/{self.on}/marks/{self.step}"
        if self._took(client, path, {"mark": word, "request_id": request}):
            self.requests.append(request)
            self.answered["mark"] = word

    def _dine(self, client: Client, dish: str) -> None:
        self.sent["dinner"] = dish
        if self._took(client, f"/api/dinners/{self.dines}", {"dish": dish}):
            self.answered["dinner"] = dish

    def _took(self, client: Client, path: str, body: dict[str, str]) -> bool:
        status, answer = client.json("PUT", path, body)
        if status == BUSY:
            self.refused.append(str(answer))
            return False
        if status >= 300:
            self.refused.append(f"{status} {path} {answer}")
            return False
        self.written += 1
        return True


def _writers(client: Client) -> list[Writer]:
    """One for each of the latest dates, with a mark to begin with."""
    today = date.fromisoformat(client.json("GET", "/api/today")[1]["date"])
    writers = []
    for ago in range(WRITERS):
        on = today - timedelta(days=ago)
        listed = client.json("GET", f"/api/days/{on}")[1]["checklist"]
        writer = Writer(on, today + timedelta(days=ago), listed[0]["step"])
        writer.sent["mark"] = writer.answered["mark"] = listed[0]["mark"] or WORDS[0]
        if not listed[0]["mark"]:
            client.json("PUT", f"/api/days/{on}/marks/{writer.step}", {"mark": WORDS[0]})
        writers.append(writer)
    return writers


def _held(client: Client, writer: Writer) -> dict[str, str]:
    """What the service says of a writer's mark and dinner."""
    day = client.json("GET", f"/api/days/{writer.on}")[1]
    marks = [line["mark"] for line in day["checklist"] if line["step"] == writer.step]
    _, dinner = client.json("GET", f"/api/dinners/{writer.dines}")
    return {"mark": str(marks[0]) if marks else "", "dinner": _dish(dinner)}


def _dish(answer: object) -> str:
    """The dish of a date's dinner, wherever in the answer it stands."""
    if isinstance(answer, dict):
        return (
            str(answer["dish"]) if "dish" in answer else next(filter(None, map(_dish, answer.values())), "")
        )
    return ""


def _check(attack: Attack, service: Service, number: int, writers: list[Writer]) -> None:
    """After a new start: the file is whole, and every answered write is there."""
    with closing(sqlite3.connect(service.file)) as connection:
        whole = connection.execute("PRAGMA integrity_check").fetchall()
        there = {
            name for (name,) in connection.execute("SELECT request_id FROM log WHERE request_id LIKE 'k-%'")
        }
    attack.tally.expect(whole == [("ok",)], f"round {number}: the file is damaged: {whole}")
    with closing(Client(service.port)) as client:
        for writer in writers:
            lost = [name for name in writer.requests if name not in there]
            attack.tally.expect(not lost, f"round {number}: answered marks are gone: {lost}")
            held = _held(client, writer)
            for what, last in writer.answered.items():
                fine = held[what] in {last, writer.sent[what]}
                attack.tally.expect(fine, f"round {number}: {what} is {held[what]}, answered was {last}")


def _round(attack: Attack, service: Service, number: int) -> list[Writer]:
    with closing(Client(service.port)) as client:
        writers = _writers(client)
    threads = [threading.Thread(target=writer.write_until_killed, args=(service.port,)) for writer in writers]
    for thread in threads:
        thread.start()
    time.sleep(attack.random.uniform(0.0, LONGEST))
    service.kill()
    for thread in threads:
        thread.join()
    for writer in writers:
        attack.tally.count("answered writes", writer.written)
        attack.tally.count("refused writes", len(writer.refused))
        for words in writer.refused:
            attack.tally.fault(f"round {number}: refused: {words}")
    return writers


def attack_by_killing(attack: Attack) -> None:
    """Start, write, kill, start again, and look."""
    service = Service(attack.folder / "home.db", attack.folder / "said.log")
    fill_home(service.file)
    assert service.start(), service.said
    try:
        for number in range(attack.rounds):
            writers = _round(attack, service, number)
            if not service.start():
                attack.tally.fault(f"round {number}: it does not start again: {service.said[-2000:]}")
                return
            _check(attack, service, number, writers)
            attack.tally.count("kills")
    finally:
        service.end()
    for trace in ("Traceback", "ERROR"):
        attack.tally.expect(trace not in service.said, f"it said: {service.said[-4000:]}")


def main(arguments: list[str]) -> int:
    """Run it by its arguments."""
    return run("kills", ROUNDS, attack_by_killing, arguments)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
