"""A log of many years is brought in in seconds, in bounded memory and into a small database."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import NamedTuple

import pytest

from benchmarks.conftest import TEN_YEARS, TODAY, history
from coach.progress.csvform import write_log

MEGABYTE = 1_000_000
MOST_MEMORY = 200 * MEGABYTE
FORTY_YEARS = 4 * TEN_YEARS

# The peak of the process itself: what resource.getrusage says begins with that of the one that started it.
RUN = """
import sys, time
from pathlib import Path
from coach.app import create_app
from coach.household import data
from coach.settings import Settings
from datetime import date

log, database, today = sys.argv[1:]
app = create_app(Settings(database=f"sqlite:///{database}", today=date.fromisoformat(today)))
begun = time.process_time()
data.load(app.state.context, "home", Path(log).read_bytes())
print(time.process_time() - begun)
app.state.context.store.close()
print([line.split()[1] for line in open("/proc/self/status") if line.startswith("VmHWM")][0])
"""

pytestmark = pytest.mark.skipif(
    not Path("/proc/self/status").exists(), reason="the peak of a process is read from /proc"
)


class Cost(NamedTuple):
    """What an import took.

    Attributes:
        seconds: Of processor time.
        memory: The most the whole process held, in bytes.
        size: Of the database, in bytes.
    """

    seconds: float
    memory: int
    size: int


def brought_in(folder: Path, days: int) -> Cost:
    """Bring a log of so many days in, in a process of its own."""
    log, database = folder / f"{days}.csv", folder / f"{days}.db"
    log.write_text(write_log(history(days)))
    given = [sys.executable, "-c", RUN, str(log), str(database), TODAY.isoformat()]
    seconds, kibibytes = subprocess.check_output(given, text=True).split()
    cost = Cost(float(seconds), int(kibibytes) * 1024, database.stat().st_size)
    print(
        f"\n{days} days: {cost.seconds:.2f} s, {cost.memory / 1e6:.0f} MB held, {cost.size / 1e6:.1f} MB kept"
    )
    return cost


@pytest.fixture(scope="module")
def costs(tmp_path_factory: pytest.TempPathFactory) -> tuple[Cost, Cost]:
    # Ten years twice, and the quicker one: a machine that is slow for a moment says nothing of the import.
    first, again = [tmp_path_factory.mktemp("imports") for _ in range(2)]
    tens = [brought_in(folder, TEN_YEARS) for folder in (first, again)]
    return min(tens, key=_seconds), brought_in(first, FORTY_YEARS)


def _seconds(cost: Cost) -> float:
    return cost.seconds


def test_ten_years_of_twenty_steps_are_imported_in_three_seconds_into_fifteen_megabytes(
    costs: tuple[Cost, Cost],
) -> None:
    ten_years, _ = costs
    assert ten_years.seconds < 3
    assert ten_years.size < 15 * MEGABYTE


def test_forty_years_cost_at_most_four_times_as_much(costs: tuple[Cost, Cost]) -> None:
    ten_years, forty_years = costs
    assert forty_years.seconds < 1.2 * 4 * ten_years.seconds
    assert forty_years.size < 1.05 * 4 * ten_years.size


def test_an_import_holds_less_than_two_hundred_megabytes(costs: tuple[Cost, Cost]) -> None:
    assert max(cost.memory for cost in costs) < MOST_MEMORY
