"""How hard Hypothesis looks, and how a run on several cores is laid out.

The same examples at every run, unless one asks for more: `HYPOTHESIS_PROFILE=explore pytest tests/property`
looks at ten times as many, and at others each time. `few` looks at ten alone, for the mutation round.
"""

from __future__ import annotations

import gc
import os
import shutil
from pathlib import Path
from typing import TYPE_CHECKING

from hypothesis import HealthCheck, settings

if TYPE_CHECKING:
    import pytest

# As `create_app` has it: where every core tests, further threads of NumPy would only wait for each other.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

SLOW_TO_DRAW = [HealthCheck.too_slow, HealthCheck.data_too_large]

settings.register_profile(
    "ci", max_examples=50, deadline=None, derandomize=True, suppress_health_check=SLOW_TO_DRAW
)
settings.register_profile(
    "explore", max_examples=500, deadline=None, print_blob=True, suppress_health_check=SLOW_TO_DRAW
)
settings.register_profile(
    "few", max_examples=10, deadline=None, derandomize=True, suppress_health_check=SLOW_TO_DRAW
)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "ci"))

LONGEST_FIRST = ("browser", "attack", "web", "store", "property", "pace")
"""The folders whose files take longest, so that no core waits for one of them at the end."""

MEMORY = Path("/dev/shm")  # noqa: S108  a folder of each run's own is made in it
FOLDERS = ("PYTEST_DEBUG_TEMPROOT", "TMPDIR")
"""What names the folder for tests' own files, and for those of database servers, browsers and services."""

ROOM = 2 << 30
"""Bytes that have to be free there: a run takes less than half of it."""

SELDOM = (10_000, 20, 20)
"""How seldom memory is looked through for what refers to itself alone (`gc.set_threshold`)."""


def pytest_configure(config: pytest.Config) -> None:
    """Where several processes test, let them begin with the longest files and wait for no disk.

    Nothing here asks what is left after a power cut but what makes its own disks. The benchmarks run in one
    process, and on the disk.
    """
    if not config.getoption("numprocesses", None):
        return
    config.option.loadscopereorder = False
    if _has_room(MEMORY):
        for name in FOLDERS:
            os.environ.setdefault(name, str(MEMORY))


def pytest_xdist_auto_num_workers() -> int:
    """One process more than there are cores: tests wait for browsers, servers and other programs."""
    return (os.cpu_count() or 1) + 1


def _has_room(folder: Path) -> bool:
    return os.access(folder, os.W_OK) and shutil.disk_usage(folder).free > ROOM


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """In a run on several cores, put the longest folders first."""
    if hasattr(config, "workerinput"):
        items.sort(key=_place)


def _place(item: pytest.Item) -> int:
    folder = item.nodeid.split("/")[1]
    return LONGEST_FIRST.index(folder) if folder in LONGEST_FIRST else len(LONGEST_FIRST)


def pytest_collection_finish(session: pytest.Session) -> None:
    """Leave what was imported and collected alone from now on, which is here as long as the process."""
    if hasattr(session.config, "workerinput"):
        gc.collect()
        gc.freeze()
        gc.set_threshold(*SELDOM)
