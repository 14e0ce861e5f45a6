"""Full disks: writes until the disk is full, then room again; uploads to a full folder for temporary files.

`PYTHONPATH=tests .venv/bin/python -m attack.full_disk --rounds 10`, as root, who alone can mount a disk.
"""

from __future__ import annotations

import sqlite3
import sys
from contextlib import ExitStack, closing
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import TYPE_CHECKING

import pytest

from attack.rounds import run
from attack.service import Client, Service, fill_home
from store.small_disk import fill, small_disk

if TYPE_CHECKING:
    from pathlib import Path

    from attack.rounds import Attack

ROUNDS = 10
NO_SMALL_DISK = 2
"""The exit status where none can be mounted."""
MEGABYTE = 1024 * 1024
ROOM = 16 * MEGABYTE
LEAVE = 512 * 1024
"""At most so many bytes are left of the disk before the writes begin."""
MOST_WRITES = 2000
TRIES_WHEN_FULL = 10
REFUSED = 503
REDIRECTS = 300
KILLED = 0.5
"""How often the service is killed rather than ended."""
DAYS = 5
LINES = 40
BOUNDARY = "----attack"


@dataclass
class Written:
    """What was answered: the last dinner of each date, as `dinners`."""

    dinners: dict[date, str] = field(default_factory=dict)
    number: int = 0


def _write(client: Client, written: Written, today: date) -> tuple[int, str]:
    """Plan one more dinner, a long one; what was refused is not noted."""
    written.number += 1
    on = today + timedelta(days=written.number % DAYS)
    dish = f"Soup {written.number}"
    body = {"dish": dish, "ingredients": [f"{line} g rice {dish}" for line in range(1, LINES + 1)]}
    status, answer = client.json("PUT", f"/api/dinners/{on}", body)
    if status < REDIRECTS:
        written.dinners[on] = dish
    return status, str(answer)


def missing_dinners(client: Client, written: Written) -> list[str]:
    """The answered dinners that are not there."""
    found = []
    for on, dish in written.dinners.items():
        _, answer = client.json("GET", f"/api/dinners/{on}")
        if f"'{dish}'" not in str(answer):
            found.append(f"{on} {dish}")
    return found


def _leave(disk: Path, free: int) -> None:
    """Fill the disk but for so many bytes."""
    spare = disk / "spare"
    spare.write_bytes(b"x" * free)
    fill(disk)
    spare.unlink()


def _write_until_full(attack: Attack, client: Client, written: Written, today: date) -> None:
    refused = 0
    for _ in range(MOST_WRITES):
        status, answer = _write(client, written, today)
        if status < REDIRECTS:
            attack.tally.count("answered writes")
            continue
        refused += 1
        attack.tally.count("refused writes")
        says = status == REFUSED and "is full" in answer
        attack.tally.expect(says, f"a write on a full disk is answered with {status} {answer}")
        if refused == TRIES_WHEN_FULL:
            return
    attack.tally.fault("the disk never became full")


def _read_while_full(attack: Attack, client: Client) -> None:
    for path in ("/today", "/week", "/dinner", "/desk", "/data", "/api/today", "/api/log.csv"):
        status, _, content = client.ask("GET", path)
        attack.tally.count("pages read on a full disk")
        attack.tally.expect(
            status == 200, f"{path} on a full disk is answered with {status} {content[-500:]!r}"
        )


def _upload_to_full(attack: Attack, client: Client, temporary: Path) -> None:
    """A restore and an import whose bytes have nowhere to go: a sentence, and nothing changed."""
    fill(temporary)
    before = client.ask("GET", "/api/log.csv")[2]
    for path, name in (("/data/restore", "saved"), ("/data/import", "log")):
        head = f'--{BOUNDARY}\r\nContent-Disposition: form-data; name="{name}"; filename="a"\r\n\r\n'
        body = head.encode() + b"x" * (3 * MEGABYTE) + f"\r\n--{BOUNDARY}--\r\n".encode()
        kind = {"Content-Type": f"multipart/form-data; boundary={BOUNDARY}"}
        status, _, content = client.ask("POST", path, body, kind)
        attack.tally.count("uploads to a full folder")
        says = status in {REFUSED, 422} and b"full" in content
        attack.tally.expect(says, f"{path} with temporary files full: {status} {content[-800:]!r}")
    attack.tally.expect(client.ask("GET", "/api/log.csv")[2] == before, "an upload changed the log")
    (temporary / "filling").unlink()


def _round(attack: Attack, service: Service, disk: Path, temporary: Path, written: Written) -> None:
    """Fill the disk, start anew on it, make room, and look each time."""
    tally = attack.tally
    with closing(Client(service.port)) as client:
        today = date.fromisoformat(client.json("GET", "/api/today")[1]["date"])
        _leave(disk, attack.random.randrange(LEAVE))
        _write_until_full(attack, client, written, today)
        _read_while_full(attack, client)
        missing = missing_dinners(client, written)
        tally.expect(not missing, f"answered, and gone on the full disk: {missing}")
    _start_anew(attack, service, disk)
    with closing(Client(service.port)) as client:
        missing = missing_dinners(client, written)
        tally.expect(not missing, f"answered, and gone after a new start: {missing}")
        status, answer = _write(client, written, today)
        tally.expect(status < REDIRECTS, f"with room again a write is answered with {status} {answer}")
        _upload_to_full(attack, client, temporary)


def _start_anew(attack: Attack, service: Service, disk: Path) -> None:
    """Kill or end the service and start it while the disk is full, then make room."""
    random, tally = attack.random, attack.tally
    (service.kill if random.random() < KILLED else service.end)()
    started = service.start()
    tally.count("starts on a full disk" if started else "starts refused for want of room")
    if not started:
        last = service.said.strip().splitlines()[-1]
        tally.expect("is full" in last, f"on a full disk it does not start and says: {last}")
    (disk / "filling").unlink()
    if not started and not service.start():
        raise RuntimeError(f"It does not start with room again: {service.said[-2000:]}")


def attack_by_filling(attack: Attack) -> None:
    """Fill, look, make room, look."""
    with ExitStack() as stack:
        folders = [attack.folder / name for name in ("database", "temporary")]
        for folder in folders:
            folder.mkdir()
        disk = stack.enter_context(small_disk(folders[0], ROOM))
        temporary = stack.enter_context(small_disk(folders[1], 2 * MEGABYTE))
        service = Service(disk / "home.db", attack.folder / "said.log", TMPDIR=str(temporary))
        fill_home(service.file)
        assert service.start(), service.said
        stack.callback(service.end)
        written = Written()
        for _ in range(attack.rounds):
            _round(attack, service, disk, temporary, written)
        with closing(sqlite3.connect(service.file)) as connection:
            whole = connection.execute("PRAGMA integrity_check").fetchall()
        attack.tally.expect(whole == [("ok",)], f"the file is damaged: {whole}")
        attack.tally.expect("Traceback" not in service.said, f"it said: {service.said[-4000:]}")


def main(arguments: list[str]) -> int:
    """Run it by its arguments; status 2 where no small disk can be mounted."""
    try:
        return run("full_disk", ROUNDS, attack_by_filling, arguments)
    except pytest.skip.Exception as reason:
        print(f"attack.full_disk: {reason}")
        return NO_SMALL_DISK


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
