"""Three PostgreSQL servers, a standby of the second and a pooler before it, all on sockets alone."""

from __future__ import annotations

import os
import shutil
import signal
import time
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from typing import TYPE_CHECKING

import psycopg

from store.postgres_server import OVER_ALL, USER, PostgresServer

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

NAMES = ("first", "second", "third")
DATABASE = "steading"
POOLER = shutil.which("pgbouncer") or "/usr/sbin/pgbouncer"
POOLED = 3
PORT = 6432
WAIT_SECONDS = 20


class Pooler:
    """PgBouncer in transaction mode before a server, with a few connections for everybody.

    Args:
        server: The server; its folder holds the pooler's socket too.
    """

    def __init__(self, server: PostgresServer) -> None:
        self._server = server
        self._pid = server.folder / "pooler.pid"

    def start(self) -> None:
        """Start it."""
        folder = self._server.folder
        (folder / "users").write_text(f'"{USER}" ""\n"{OVER_ALL}" ""\n', encoding="utf-8")
        (folder / "pooler.ini").write_text(
            f"[databases]\n* = host={folder}\n[pgbouncer]\nlisten_port = {PORT}\nunix_socket_dir = {folder}\n"
            f"auth_type = trust\nauth_file = {folder}/users\npool_mode = transaction\n"
            f"default_pool_size = {POOLED}\nmax_client_conn = 200\npidfile = {self._pid}\n"
            f"logfile = {folder}/pooler.log\n",
            encoding="utf-8",
        )
        for name in ("users", "pooler.ini"):
            (folder / name).chmod(0o644)
        self._server.run_program(POOLER, "-d", "-q", str(folder / "pooler.ini"))
        wait_until(lambda: answers(self.url(DATABASE)))

    def url(self, database: str) -> str:
        """The URL of a database of the server by way of the pooler."""
        return f"{self._server.url(database)}&port={PORT}"

    def stop(self) -> None:
        """End it."""
        with suppress(FileNotFoundError, ProcessLookupError):
            os.kill(int(self._pid.read_text("utf-8")), signal.SIGINT)


class Standby(PostgresServer):
    """A server that follows another one and answers readers."""

    def follow(self, primary: PostgresServer) -> None:
        """Copy the other one and go on from there."""
        source = ("-h", str(primary.folder), "-U", OVER_ALL)
        self.run("pg_basebackup", "-D", str(self.data), "-R", "-c", "fast", "--no-sync", *source)
        self.begin()


class Servers:
    """All of them.

    Attributes:
        by_name: The three servers.
        standby: The second one's.
        pooler: The second one's.
    """

    def __init__(self, programs: Path) -> None:
        self.by_name = {name: PostgresServer(programs) for name in NAMES}
        self.standby = Standby(programs)
        self.pooler = Pooler(self.by_name["second"])

    def start(self) -> None:
        """Start all, the three at once."""
        with ThreadPoolExecutor() as pool:
            list(pool.map(_made, self.by_name.values()))
        self.standby.follow(self.by_name["second"])
        self.pooler.start()

    def stop(self) -> None:
        """Stop all, whatever still runs."""
        self.pooler.stop()
        with ThreadPoolExecutor() as pool:
            list(pool.map(PostgresServer.stop, (self.standby, *self.by_name.values())))

    def url(self, name: str, user: str = USER) -> str:
        """The URL of the service's database of a server."""
        return self.by_name[name].url(DATABASE, user)


def _made(server: PostgresServer) -> None:
    server.start()
    server.run_sql(f"CREATE DATABASE {DATABASE} OWNER {USER} TEMPLATE template0")


def answers(url: str) -> bool:
    """Whether a server answers."""
    try:
        psycopg.connect(url).close()
    except psycopg.OperationalError:
        return False
    return True


def wait_until(holds: Callable[[], bool]) -> None:
    """Wait until something holds, and no longer than is sensible."""
    end = time.monotonic() + WAIT_SECONDS
    while not holds():
        if time.monotonic() > end:
            raise TimeoutError("It never came to hold.")
        time.sleep(0.05)
