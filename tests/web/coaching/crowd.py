"""Households of a group with spells and weeks that were saved of them, for tables of where people stop."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING

from coach.ground.groups import BY_NAME, COUNTED, Enrolment
from coach.ground.spells import Followed, Spell

if TYPE_CHECKING:
    from coach.ground.groups import Level
    from coach.ground.ports import Store
    from coach.ground.spells import Ending

NOW_AT = {"settled": "settled", "set aside": "set-aside"}


def fill(store: Store, group: str, sunday: date, steps: tuple[str, ...], households: int = 40) -> None:
    """So many households that came over three weeks, of which every tenth shares by name, as of a Sunday."""
    for number in range(households):
        add(store, group, sunday, number, steps, BY_NAME if number % 10 == 9 else COUNTED)


def add(
    store: Store, group: str, sunday: date, number: int, steps: tuple[str, ...], level: Level = COUNTED
) -> None:
    """One of them, by its number; it says what becomes of it."""
    started = sunday - timedelta(days=62 - number % 3 * 7)
    until = sunday + timedelta(days=180)
    at = _noon(started)
    enrolment = Enrolment(f"h{number}", f"Household {number}", group, at, level, at, until)
    spells = [spell for at, step in enumerate(steps) for spell in _spell(number, at, step, started, sunday)]
    weeks = _weeks(number, (sunday - started).days // 7)
    followed = Followed(sunday, started, weeks[-1], sunday, 0, weeks)
    with store.writing(enrolment.household) as writing:
        writing.put_enrolment(enrolment)
        writing.save_followed(followed, spells)


def _noon(day: date) -> datetime:
    return datetime(day.year, day.month, day.day, 12, tzinfo=UTC)


def _spell(number: int, at: int, step: str, started: date, sunday: date) -> list[Spell]:
    entered = started + timedelta(days=7 * at + number % 5)
    seen = (sunday - entered).days + 1
    if seen < 1 or number % 7 < at - 4:
        return []
    kind = (number * 5 + at * 3) % 16
    ending: Ending = (
        "settled" if kind < 10 else "set aside" if kind < 12 else "lapsed" if kind < 14 else "left"
    )
    days = 9 + (number * 3 + at) % 14
    if days > seen:
        ending, days = "open", seen
    ended = entered + timedelta(days=days - 1) if ending != "open" else None
    state = NOW_AT.get(ending, "practising")
    settled = ended if ending == "settled" else None
    pace = "gentle" if number % 4 == 1 else "standard"
    return [Spell(step, "d1", entered, days, ending, ended, state, settled, 9, days, ending, pace)]


def _weeks(number: int, over: int) -> tuple[str, ...]:
    turn = 3 + number % 2
    return tuple(
        "ramping" if week < turn else "lapsed" if number % 4 == 3 and week < turn + 2 else "steady"
        for week in range(over)
    )
