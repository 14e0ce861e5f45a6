"""A throw-away PostgreSQL server for tests: socket only, in a folder of its own, gone at the end."""

from __future__ import annotations

import os
import pwd
import shutil
import subprocess
import tempfile
from contextlib import closing
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING

import psycopg
from sqlalchemy import create_engine
from sqlalchemy.pool import NullPool

from coach.store.opening import open_store

if TYPE_CHECKING:
    from sqlalchemy import Engine

USER = "steading"
"""The service's own user, whom the wall between households holds."""

OVER_ALL = "postgres"
"""Who passes over it."""


def seeing_all(engine: Engine) -> Engine:
    """An engine for the same database that no wall between households holds; SQLite has none."""
    if engine.dialect.name == "sqlite":
        return engine
    return create_engine(engine.url.set(username=OVER_ALL), poolclass=NullPool)


def programs() -> Path | None:
    """The folder of the newest server programs on this machine."""
    found = shutil.which("initdb")
    if found is not None:
        return Path(found).resolve().parent
    folders = [path.parent for path in Path("/usr/lib/postgresql").glob("*/bin/initdb")]
    return max(folders, key=lambda folder: int(folder.parent.name), default=None)


class PostgresServer:
    """A running server.

    Args:
        bin_folder: Where `initdb` and `pg_ctl` are.
    """

    def __init__(self, bin_folder: Path) -> None:
        self._bin = bin_folder
        self._numbers = count(1)
        self._laid_out: str | None = None
        # The path of a socket has about a hundred bytes, too few for pytest's folders.
        self.folder = Path(tempfile.mkdtemp(prefix="steading-pg-"))
        if os.geteuid() == 0:
            # The server refuses to run as root.
            nobody = pwd.getpwnam("nobody")
            os.chown(self.folder, nobody.pw_uid, nobody.pw_gid)
        self.data = self.folder / "data"

    def start(self) -> None:
        """Make the cluster and start the server."""
        made = ("-U", OVER_ALL, "-A", "trust", "-E", "UTF8", "--locale=C", "--no-sync")
        self.run("initdb", "-D", str(self.data), *made)
        self.begin()
        self.run_sql(f"CREATE ROLE {USER} LOGIN")

    def begin(self) -> None:
        """Start the server of a cluster that is made."""
        options = f"-c listen_addresses='' -k {self.folder} -c fsync=off -c full_page_writes=off"
        self.run("pg_ctl", "-D", str(self.data), "-w", "-l", str(self.folder / "log"), "-o", options, "start")

    def kill(self) -> None:
        """End the server as a power cut does."""
        self.run("pg_ctl", "-D", str(self.data), "-w", "-m", "immediate", "stop")

    def stop(self) -> None:
        """Stop the server and remove its folder."""
        if (self.data / "postmaster.pid").exists():
            self.kill()
        shutil.rmtree(self.folder)

    def url(self, database: str, user: str = USER) -> str:
        """The URL of a database of this server."""
        return f"postgresql://{user}@/{database}?host={self.folder}"

    def new_database(self) -> str:
        """Create an empty database and give its name."""
        name = f"test_{next(self._numbers)}"
        # A language of its own, as most servers have one: what needs another order has to ask for it.
        language = "TEMPLATE template0 LOCALE_PROVIDER icu ICU_LOCALE 'en'"
        self.run_sql(f"CREATE DATABASE {name} OWNER {USER} {language}")
        return name

    def new_laid_out(self) -> str:
        """Create a database that holds the present tables and nothing else, and give its name."""
        if self._laid_out is None:
            self._laid_out = self.new_database()
            with closing(open_store(self.url(self._laid_out))):
                pass
        name = f"test_{next(self._numbers)}"
        # Its files are small: to copy them takes less than to write every page of them into the server's log.
        self.run_sql(f"CREATE DATABASE {name} OWNER {USER} TEMPLATE {self._laid_out} STRATEGY FILE_COPY")
        return name

    def drop_database(self, name: str) -> None:
        """Remove a database, whoever is connected to it."""
        self.run_sql(f"DROP DATABASE {name} WITH (FORCE)")

    def run_sql(self, statement: str) -> None:
        """Run one statement outside a transaction."""
        with psycopg.connect(self.url("postgres", OVER_ALL), autocommit=True) as connection:
            connection.execute(statement.encode())

    def run(self, program: str, *arguments: str) -> None:
        """Run one of its programs, by another user than root."""
        self.run_program(str(self._bin / program), *arguments)

    def run_program(self, *command: str) -> None:
        """Run any program in the server's folder, by another user than root."""
        if os.geteuid() == 0:
            command = ("runuser", "-u", "nobody", "--", *command)
        with tempfile.TemporaryFile("w+") as said:
            done = subprocess.run(command, check=False, stdout=said, stderr=said, cwd=self.folder)
            if done.returncode:
                said.seek(0)
                raise RuntimeError(f"{' '.join(command)} failed:\n{said.read()}")
