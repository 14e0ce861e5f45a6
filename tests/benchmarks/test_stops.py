"""Where people stop among ten thousand households that are counted: the whole page, from either database."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta
from random import Random
from statistics import median
from time import perf_counter, process_time
from typing import TYPE_CHECKING, Any

import pytest
from sqlalchemy import insert, text

from coach.app import create_app
from coach.coaching.rules.counts import STANDING, Count
from coach.coaching.rules.hiding import telling
from coach.coaching.told import sunday_of
from coach.settings import Settings
from coach.store.coaching_tables import EnrolmentTable, FollowedTable, SpellTable
from store.conftest import (  # noqa: F401  fixtures
    POSTGRESQL,
    postgres_server,
    postgresql_url,
)
from web.many import PUBLIC, ManyHouse

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from coach.coaching.rules.telling import Told
    from coach.ground.spells import Ending

HOUSEHOLDS = 10_000
ENOUGH_MS = {"postgresql": 300, "sqlite": 600}
"""PostgreSQL is for so many; SQLite, which is for fifty, sorts all their spells to count them."""

PAGE = "/groups/g1/stops"

SUNDAY = date(2026, 1, 4)
SUNDAYS, STEPS, TOLD_OF = 26, 12, 500
"""Half a year in which a group of so many is told of."""


@pytest.fixture(params=["sqlite", POSTGRESQL])
def house(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[ManyHouse]:
    found = ManyHouse(tmp_path)
    if request.param == "postgresql":
        found.app = create_app(
            Settings(
                database=request.getfixturevalue("postgresql_url"), way="hosted", public_url=PUBLIC,
                today=found.today,
            )
        )  # fmt: skip
    yield found
    found.close()


def fill(house: ManyHouse) -> None:
    """Households that began over ten weeks, one in twenty by name, with twelve steps each."""
    course = house.app.state.context.library.course("three-weeks")
    rows = [_rows(number, house, [step.id for step in course.steps[:12]]) for number in range(HOUSEHOLDS)]
    with house.store.engine.begin() as connection:
        behind_the_wall = connection.dialect.name == "postgresql"
        for table, index in ((EnrolmentTable, 0), (FollowedTable, 1), (SpellTable, 2)):
            name = table.__tablename__
            if behind_the_wall:
                # The owner may, for once, write what belongs to ten thousand households in one transaction.
                connection.execute(text(f"ALTER TABLE {name} NO FORCE ROW LEVEL SECURITY"))
            connection.execute(insert(table), [one for row in rows for one in row[index]])
            if behind_the_wall:
                connection.execute(text(f"ALTER TABLE {name} FORCE ROW LEVEL SECURITY"))
    with house.store.engine.begin() as connection:
        connection.execute(text("ANALYZE"))


def _rows(number: int, house: ManyHouse, steps: list[str]) -> tuple[list[dict[str, Any]], ...]:
    random = Random(number)
    sunday, home = sunday_of(house.today), f"h{number}"
    started = sunday - timedelta(days=random.randrange(70, 140))
    weeks = ["ramping"] * random.randrange(3, 9) + random.choices(
        ["steady", "steady", "steady", "lapsed"], k=20
    )
    over = (sunday - started).days // 7
    enrolment = {
        "household_id": home, "name": f"Home {number}", "group_id": "g1", "joined_at": house.now,
        "level": "by name" if number % 20 == 0 else "counted", "level_at": house.now,
        "level_until": sunday + timedelta(days=100),
    }  # fmt: skip
    followed = {
        "household_id": home, "through": sunday, "started_on": started, "phase": weeks[over - 1],
        "last_mark": sunday, "due_since": 0, "weeks": ",".join(weeks[:over]),
    }  # fmt: skip
    spells = []
    for at, step in enumerate(steps):
        ending = random.choices(["settled", "set aside", "lapsed", "left", "open"], [60, 10, 12, 8, 10])[0]
        days = random.randrange(10, 60)
        entered = started + timedelta(days=at * 5)
        spells.append({
            "household_id": home, "step": step, "digest": f"d{at % 2}", "entered_on": entered, "days": days,
            "ending": ending, "ended_on": None, "state": "practising", "settled_on": None, "outcomes": 9,
            "sunday_days": days, "sunday_ending": ending, "pace": "standard",
        })  # fmt: skip
    return [enrolment], [followed], spells


def test_the_page_of_ten_thousand_households_is_quick(house: ManyHouse) -> None:
    coach = house.signed_in(house.person("Ana", coaches=True))
    house.group("ana", "g1")
    fill(house)
    first, *cold = [_asked(house, coach, cold=True) for _ in range(7)]
    warm = [_asked(house, coach, cold=False) for _ in range(5)]
    without = f"{min(cold):.0f} ms without memory (median {median(cold):.0f})"
    print(f"\n{house.store.engine.name}: {first:.0f} ms first, {without}, {min(warm):.0f} ms warm")
    assert min(cold) < ENOUGH_MS[house.store.engine.dialect.name]
    assert min(warm) < ENOUGH_MS[house.store.engine.dialect.name]


def _asked(house: ManyHouse, coach: Any, *, cold: bool) -> float:  # noqa: ANN401  a browser
    if cold:
        house.app.state.context.memo.forget()
    begun = perf_counter()
    answer = coach.get(PAGE)
    taken = 1000 * (perf_counter() - begun)
    assert answer.status_code == 200
    assert "began it" in answer.text
    return taken


def test_what_was_told_on_many_sundays_takes_little_to_hold_a_table_against() -> None:
    homes = [_progress(Random(number)) for number in range(TOLD_OF)]
    told: dict[int, list[Told]] = {at: [] for at in range(STEPS)}
    for week in range(1, SUNDAYS):
        _tell(homes, week, told)
    times = []
    for _ in range(3):
        begun = process_time()
        _tell(homes, SUNDAYS, {at: [*tables] for at, tables in told.items()})
        times.append(1000 * (process_time() - begun))
    tables = [len(some) for some in told.values()]
    print(f"\n{SUNDAYS} Sundays, {min(tables)} to {max(tables)} tables a step: {min(times):.0f} ms")
    assert max(tables) > SUNDAYS / 2
    assert min(times) < ENOUGH_MS["postgresql"]


def _progress(random: Random) -> list[tuple[int, int, Ending]]:
    """For each step when a household began it, after how many days it ended, and how."""
    started = random.randrange(70)
    endings = random.choices([*STANDING], [60, 10, 12, 8, 10], k=STEPS)
    return [(started + 5 * at, random.randrange(10, 60), ending) for at, ending in enumerate(endings)]


def _tell(homes: list[list[tuple[int, int, Ending]]], week: int, told: dict[int, list[Told]]) -> None:
    """What is told of each step as of a Sunday, beside all that was told before."""
    for at, earlier in told.items():
        spells = [_stood(7 * week, *home[at]) for home in homes if home[at][0] < 7 * week]
        counts = [Count(*key, some) for key, some in sorted(Counter(spells).items())]
        found = telling(counts, SUNDAY + timedelta(weeks=week), earlier)
        if found.is_new and found.table is not None:
            earlier.append(found.table)


def _stood(day: int, begun: int, days: int, ending: Ending) -> tuple[int, Ending]:
    over = ending != "open" and days <= day - begun
    return (days, ending) if over else (day - begun, "open")
