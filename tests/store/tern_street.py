"""The household of the store's tests: Tern Street, with the rows it writes."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from typing import TYPE_CHECKING

from coach.ground.plan_rows import Asked, PlanRow
from coach.ground.ports import CourseVersion, Household
from coach.ground.rows import SavedStanding
from coach.progress.log import Row, What

if TYPE_CHECKING:
    from collections.abc import Sequence

    from coach.ground.ports import Reading, Store

HOME = "home"
FIRST = date(2027, 1, 4)
NOW = datetime(2027, 1, 4, 7, 30, tzinfo=UTC)
HOUSEHOLD = Household(HOME, "three-weeks", "Europe/Lisbon", time(3), 0)
COURSE = CourseVersion(FIRST, "d1")
CONTENT = '{"title": "Three weeks"}'


Held = list[tuple[str, str]]


def day(number: int) -> date:
    """The household's day of that number, from 1."""
    return FIRST + timedelta(days=number - 1)


def kept(number: int, step: str = "bed-made") -> Row:
    """A step kept on the day of that number."""
    return Row(day(number), What.KEPT, step)


def saved(number: int, digest: str = "d1", state: str = "{}") -> SavedStanding:
    """A standing after the close of the day of that number."""
    return SavedStanding(day(number), digest, state)


def dinner(number: int, dish: str = "soup") -> PlanRow:
    """A dinner planned on the day of that number for the same day; no dish takes it away."""
    return PlanRow(day(number), "dinner", f"{day(number)}", f'"{dish}"' if dish else "")


def todo(key: str, title: str = "Fix the tap", number: int = 1) -> PlanRow:
    """A job noted on the day of that number; no title takes it away."""
    return PlanRow(day(number), "todo", key, f'"{title}"' if title else "")


def begin(store: Store, household_id: str = HOME) -> None:
    """Start a household on its first day."""
    with store.writing(household_id) as writing:
        writing.create(HOUSEHOLD)
        writing.add_course(COURSE, CONTENT)
        writing.append([Row(FIRST, What.START, "bed-made", "standard")], NOW)


def add(store: Store, *rows: Row, request_id: str | None = None, household_id: str = HOME) -> bool:
    """Append rows in one transaction."""
    with store.writing(household_id) as writing:
        return writing.append(rows, NOW, request_id)


def put(store: Store, *rows: PlanRow, request_id: str | None = None, household_id: str = HOME) -> bool:
    """Append rows of the plan in one transaction."""
    with store.writing(household_id) as writing:
        return writing.put_plan(rows, NOW, request_id)


def held(reading: Reading, what: str, first: str | None = None, last: str | None = None) -> Held:
    """What holds of one kind of the plan, between two keys."""
    return reading.plans([Asked(what, first or "", last)])[0]


def held_of(reading: Reading, whats: Sequence[str]) -> dict[str, Held]:
    """The same of several kinds."""
    return dict(zip(whats, reading.plans([Asked(what) for what in whats]), strict=True))


def plan_of(store: Store, what: str = "dinner", household_id: str = HOME) -> list[tuple[str, str]]:
    """What holds of one kind of the plan, as a reader sees it."""
    with store.reading(household_id) as reading:
        return list(held(reading, what))


def rows_of(store: Store, since: date | None = None, household_id: str = HOME) -> list[Row]:
    """The log as a reader sees it."""
    with store.reading(household_id) as reading:
        return list(reading.rows(since))


def version_of(store: Store, household_id: str = HOME) -> int:
    """The household's version."""
    household = store.version(household_id)
    assert household is not None
    return household.version
