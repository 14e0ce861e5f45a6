"""Tern Street in the middle of an older course, as a landed version left its database, and what it said.

The dump was made with the version that shipped ten daily steps, on the household's 21st day; it stays as it
is. Beside it stands what that version's JSON said of every day and of every step that had come.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

from web.house import House

if TYPE_CHECKING:
    from collections.abc import Iterator

DUMP = Path(__file__).parent / "versions" / "older-course-0003.sql"
TOLD = DUMP.with_suffix(".txt")
FIRST, TODAY = date(2027, 1, 4), date(2027, 1, 24)


def house_of(folder: Path) -> House:
    """The household's database under the application of today, on the day the dump was made."""
    with closing(sqlite3.connect(folder / "home.db")) as connection:
        connection.executescript(DUMP.read_text("utf-8"))
    house = House(folder)
    house.now = datetime(TODAY.year, TODAY.month, TODAY.day, 12, tzinfo=UTC)
    return house


def told_before() -> tuple[list[str], list[str]]:
    """What the landed version said: a line for every day, a line for every step that had come."""
    days, steps = TOLD.read_text("utf-8").split("\n\n")
    return days.splitlines(), steps.splitlines()


def days_told(house: House, last: date) -> Iterator[str]:
    """The same line for every day from the first to the last."""
    for ahead in range((last - FIRST).days + 1):
        on = FIRST + timedelta(days=ahead)
        day = house.http.get(f"/api/days/{on}").json()
        lines = ", ".join(map(_line, day["checklist"]))
        yield f"{on} {day['phase']} {day['introduced'] or '-'}: {lines}"


def _line(line: dict[str, Any]) -> str:
    return f"{line['step']}{'*' if line['state'] == 'settled' else ''} {line['mark'] or '-'}"


def steps_told(house: House) -> dict[str, str]:
    """The same line, without its name, for every step that has come."""
    steps = house.http.get("/api/path").json()["steps"]
    return {step["step"]: _standing(step) for step in steps if step["introduced_on"]}


def _standing(step: dict[str, Any]) -> str:
    return (
        f"{step['state']} {step['introduced_on']} {step['settled_on']} "
        f"{step['kept']}/{step['due']} {step['strength']:.6f}"
    )
