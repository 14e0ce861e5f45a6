"""Two servers with one database send each message once, and one that is killed on the way at most once."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

from coach.ground.ports import Context
from coach.household import start
from coach.messages.sending import send_due
from coach.store.opening import open_store
from habits.house import HOME, SMALL, Shelf
from messages.post import ANA, PostOffice, asked

TESTS = Path(__file__).parent.parent
PROGRAM = TESTS / "messages" / "send_from.py"
DAWN = datetime(2027, 1, 4, 5, tzinfo=UTC)
SEVEN = DAWN.replace(hour=7)
MEMBERS = 25


def with_members(url: str, count: int = MEMBERS) -> list[str]:
    """A household in a database in which so many want a message at seven; where these go to."""
    addresses = [f"p{number:02}@example.org" for number in range(count)]
    with closing(open_store(url)) as store:
        context = Context(store, Shelf(SMALL), lambda: DAWN)
        start.start(context, HOME, None)
        for address in addresses:
            asked(context, PostOffice(), replace(ANA, person=address), to=address)
    return addresses


def a_server(url: str, *more: str) -> subprocess.Popen[str]:
    """A server that is ready for a round."""
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join([str(TESTS), str(TESTS.parent)])}
    command = [sys.executable, str(PROGRAM), url, SEVEN.isoformat(), *more]
    pipe = subprocess.PIPE
    server = subprocess.Popen(command, stdin=pipe, stdout=pipe, text=True, env=environment)
    assert server.stdout is not None
    assert server.stdout.readline() == "ready\n"
    return server


def tell(server: subprocess.Popen[str]) -> None:
    """Let a server begin its round."""
    assert server.stdin is not None
    server.stdin.write("\n")
    server.stdin.flush()


def a_round_here(url: str, now: datetime = SEVEN) -> list[str]:
    """Whom this process, as a server of its own, carries a letter to."""
    post = PostOffice()
    with closing(open_store(url)) as store:
        found = send_due(Context(store, Shelf(SMALL), lambda: now), post, now)
    assert found.faults == ()
    return [to for to, _ in post.carried]


def test_two_servers_send_each_message_once(laid_out_url: str) -> None:
    addresses = with_members(laid_out_url)
    other = a_server(laid_out_url)
    tell(other)
    ours = a_round_here(laid_out_url)
    theirs = other.communicate()[0].split()
    assert other.returncode == 0
    assert sorted(ours + theirs) == addresses


def test_what_a_server_had_claimed_as_it_was_killed_is_not_sent_by_another(sqlite_url: str) -> None:
    addresses = with_members(sqlite_url, 3)
    killed = a_server(sqlite_url, "hold")
    tell(killed)
    assert killed.stdout is not None
    on_the_way = killed.stdout.readline().strip()
    killed.kill()
    killed.communicate()
    assert killed.returncode == -signal.SIGKILL
    after = a_round_here(sqlite_url, SEVEN + timedelta(minutes=10))
    assert sorted([on_the_way, *after]) == addresses
    with closing(open_store(sqlite_url)) as store, store.people_reading() as reading:
        told = reading.messages(HOME, on_the_way, DAWN)
    assert [(one.name, one.outcome) for one in told] == [("2027-01-04", "")]
