"""A calendar of Tern Street loaded into khal, a calendar program that knows nothing of Steading.

Source: khal 0.14 (https://github.com/pimutils/khal), installed by pip into an environment of its own, since
what it needs may clash with ours. What it lists between two dates is held against the calendar's own entries.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import pytest

from coach.calendar.answers import USUAL
from coach.calendar.feed import calendar, entries
from coach.ground.situation import looking
from web.demo_home import tern_streets
from web.house import House

if TYPE_CHECKING:
    from collections.abc import Iterator

PINS = Path(__file__).parents[2] / ".ci" / "khal.txt"
ZONE = "Europe/Lisbon"
FIRST, LAST = date(2027, 1, 1), date(2027, 12, 31)
CONFIG = """[calendars]
[[steading]]
path = {folder}/events
[sqlite]
path = {folder}/khal.db
[locale]
timeformat = %H:%M
dateformat = %Y-%m-%d
longdateformat = %Y-%m-%d
datetimeformat = %Y-%m-%d %H:%M
longdatetimeformat = %Y-%m-%d %H:%M
local_timezone = {zone}
default_timezone = {zone}
"""


@pytest.fixture(scope="module")
def khal(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The program, in an environment of its own."""
    folder = tmp_path_factory.mktemp("khal") / "env"
    without = {key: value for key, value in os.environ.items() if key != "PIP_CONSTRAINT"}
    told = subprocess.run(
        [sys.executable, "-m", "venv", "--without-pip", str(folder)],
        check=False,
        capture_output=True,
        text=True,
    )
    if told.returncode == 0:
        # Our pip works on the other environment, which takes half as long as giving that one its own.
        pip = [sys.executable, "-m", "pip", "--python", str(folder / "bin" / "python")]
        install = [*pip, "install", "-q", "--no-deps", "--no-compile", "-r", str(PINS)]
        told = subprocess.run(install, check=False, capture_output=True, text=True, env=without)
    if told.returncode:
        reason = f"khal cannot be installed here: {told.stderr.strip()[-300:]}"
        if os.environ.get("COACH_REQUIRE_ALL") == "1":
            pytest.fail(reason)
        pytest.skip(reason)
    return folder / "bin" / "khal"


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    with tern_streets(House, tmp_path_factory.mktemp("tern-street")) as house:
        yield house


def test_khal_shows_every_date_of_a_year_as_we_meant_it(khal: Path, house: House, tmp_path: Path) -> None:
    context = house.app.state.context
    (tmp_path / "events").mkdir()
    file = tmp_path / "steading.ics"
    file.write_bytes(calendar(context, "home", "Tern Street", USUAL).body)
    config = tmp_path / "config"
    config.write_text(CONFIG.format(folder=tmp_path, zone=ZONE))

    def asked(*arguments: str) -> str:
        command = [str(khal), "--no-color", "-c", str(config), *arguments]
        return subprocess.run(command, check=True, capture_output=True, text=True, cwd=tmp_path).stdout

    asked("import", "--batch", "-a", "steading", str(file))
    fields = ("uid", "start-long", "end-long", "start-time", "title", "description")
    listed = asked("list", *(part for one in fields for part in ("--json", one)), str(FIRST), str(LAST))
    shown = {
        tuple(one[name] for name in fields[:-1]) for line in listed.splitlines() for one in json.loads(line)
    }
    with looking(context, "home") as where:
        wanted = {
            (f"{one.kind}-{one.id}-{day}@home", *_when(day, begins), one.title)
            for one in entries(where, USUAL)
            for day, begins in zip(one.dates, one.begins or (None,) * len(one.dates), strict=True)
            if FIRST <= day <= LAST
        }
    assert len(wanted) > 200
    assert shown == wanted


def _when(day: date, begins: datetime | None) -> tuple[str, str, str]:
    """How khal says when an event is: first and last day, and the time where there is one."""
    if begins is None:
        return str(day), str(day), ""
    local, ends = (at.astimezone(ZoneInfo(ZONE)) for at in (begins, begins + timedelta(minutes=30)))
    assert begins.tzinfo is UTC
    return f"{local:%Y-%m-%d %H:%M}", f"{ends:%Y-%m-%d %H:%M}", f"{local:%H:%M}"
