"""Tern Street's database as a landed version left it: nine weeks of days, its areas, dinners and desk.

Beside the dump stands what that version said of every day. It knew no turns of lessons, so what is told today
is compared with it without them (`as_landed`). If a rule changes on purpose, `landed.py FILE` writes it anew
from the dump's log and course; read the difference against the rules before committing it.
"""

from __future__ import annotations

import re
import sqlite3
import sys
from contextlib import closing
from datetime import date
from pathlib import Path

from coach.course.jsonform import course_from_json
from coach.progress.log import Row, What
from golden.story import Story, told

VERSIONS = Path(__file__).parent / "versions"
DUMP = VERSIONS / "tern-street-0002.sql"
TODAY = date(2027, 3, 8)
SHOWS = "Tern Street as the version with the tables 0002 left it."


def load_dump(file: Path) -> None:
    """Make a SQLite database as the landed version left it."""
    with closing(sqlite3.connect(file)) as connection:
        connection.executescript(DUMP.read_text("utf-8"))


def as_landed(told: str) -> list[str]:
    """A text of this kind, line by line, without its legend, its lessons and the width of its columns."""
    lines = (re.sub(r" \| reads [^|]*", " ", line) for line in told.splitlines() if not line.startswith("#"))
    return [" ".join(line.split()) for line in lines]


def told_by(rows: list[tuple[str, str, str, str]], course: str) -> str:
    """What follows for every day from a log's date, what, step and value and from the course as JSON."""
    log = tuple(Row(date.fromisoformat(on), What(what), step, value) for on, what, step, value in rows)
    return told(Story("tern-street", SHOWS, course_from_json(course), log, TODAY, VERSIONS))


def told_by_file(file: Path) -> str:
    """The same from a SQLite database of any version that has these columns."""
    with closing(sqlite3.connect(file)) as connection:
        rows = connection.execute("SELECT date, what, step, value FROM log ORDER BY seq").fetchall()
        (course,) = connection.execute("SELECT content FROM course_version").fetchone()
    return told_by(rows, course)


if __name__ == "__main__":
    loaded = Path(sys.argv[1])
    load_dump(loaded)
    DUMP.with_suffix(".txt").write_text(told_by_file(loaded), encoding="utf-8")
