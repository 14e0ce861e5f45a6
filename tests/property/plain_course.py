"""A course folder and its calendar, read plainly for the second reading (rules.md §2 and §3)."""

from __future__ import annotations

import re
import tomllib
from datetime import UTC, date, datetime, time, timedelta
from functools import lru_cache
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from dateutil.rrule import rrulestr

if TYPE_CHECKING:
    from pathlib import Path

Course = dict[str, Any]

STEP_DEFAULTS: Course = {
    "why": None, "cue": None, "small": None, "caution": None, "slot": "anytime", "minutes": 5,
    "repeats": "FREQ=DAILY", "after": [], "after_any": [], "settles": {"kept": 2, "of": 3}, "waits": True,
    "formerly": [], "lessons": 0,
}  # fmt: skip
# Reading: §3 gives defaults for the keys of a step only; a key left out of course.toml takes the figure
# shown there.
COURSE_DEFAULTS: Course = {"title": "", "summary": "", "ramp_days": 21, "at_once": 1, "lapse_after": 7}
TABLE_DEFAULTS: dict[str, Course] = {
    "hold": {"at_least": 0.6, "over": 7},
    "return": {"half_life": 14, "good_day": 0.6666666667},
    "strength": {"days_to_95": 66, "half_life_missed": 46},
    "paces": {"standard": 0, "gentle": 1},
}


def read_course(folder: Path) -> Course:
    """Read a valid course folder; nothing is checked."""
    read = tomllib.loads((folder / "course.toml").read_text(encoding="utf-8"))
    tables = {name: shown | read.get(name, {}) for name, shown in TABLE_DEFAULTS.items()}
    files = sorted(folder.glob("*.md"), key=lambda file: file.name)
    return COURSE_DEFAULTS | read | tables | {"steps": [read_step(file) for file in files]}


def read_step(file: Path) -> Course:
    """Read what stands between the two `+++` lines of a step file, and count its lessons."""
    lines = file.read_text(encoding="utf-8").splitlines()
    first, second = [number for number, line in enumerate(lines) if line.strip() == "+++"][:2]
    keys = tomllib.loads("\n".join(lines[first + 1 : second]))
    lessons = sum(line.startswith("# ") for line in lines[second + 1 :])
    return STEP_DEFAULTS | keys | {"id": re.sub(r"^\d+-", "", file.stem), "lessons": lessons}


@lru_cache(maxsize=200_000)
def happened(day: date, zone: str) -> bool:
    """§2: whether some instant, looked for every quarter of an hour, has this date in the zone."""
    noon, zone_info = datetime.combine(day, time(12), UTC), ZoneInfo(zone)
    return any(
        (noon + timedelta(minutes=15 * quarter)).astimezone(zone_info).date() == day
        for quarter in range(-160, 160)
    )


@lru_cache(maxsize=200_000)
def falls(rule: str, introduced_on: date, day: date) -> bool:
    """§1, §3: whether the rule falls on the day, with DTSTART the date of introduction."""
    # Reading: DTSTART is an occurrence only when the rule falls on it (dateutil does so, and 5.6 speaks of
    # a step whose rule does not fall on the day it is introduced).
    midnight = datetime.combine(day, time())
    series = rrulestr(rule, dtstart=datetime.combine(introduced_on, time()))
    return bool(series.between(midnight, midnight, inc=True))


@lru_cache(maxsize=200_000)
def next_fall(rule: str, introduced_on: date, day: date) -> date | None:
    """Give the first date after the day on which the rule falls, if there is one."""
    series = rrulestr(rule, dtstart=datetime.combine(introduced_on, time()))
    later = series.after(datetime.combine(day, time()))
    return later.date() if later is not None else None
