"""Dry before wet, and from the top to the floor. Both are common practice and have no source.

What a task is, its own words tell: most titles begin with what is done. Those that do not are left aside.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from coach.coaching.lessons_folder import shipped_lessons
from coach.course.reader import read_rooms

if TYPE_CHECKING:
    from coach.course.rooms import RoomKind

KINDS = read_rooms(shipped_lessons() / "areas")
EVERY = pytest.mark.parametrize("kind", KINDS, ids=[kind.id for kind in KINDS])

DRY = re.compile(r"(?:dust|brush|vacuum|sweep|beat|comb|shake|take down the cobwebs)\b")
WET = re.compile(r"(?:wipe|wash|scrub|rinse|mop)\b")
TOP = re.compile(r"cobwebs|ceiling")
SKIRTING = re.compile(r"skirting|plinths")
FLOOR = re.compile(
    r"^(?:vacuum|sweep|mop|brush)\b.*(?<!'s )(?<!its )\b(?:floor|treads|steps|path|walls with)\b(?!'s| board)"
    r"|^(?:draw|pull|slide|move|lift) .*vacuum|\bmop it\b|towards the house$|^shake the mat at"
)
MOP = re.compile(r"\bmop\b|green film|bare treads")
DOORSTEP = re.compile(r"outer step")


def dry(title: str) -> bool:
    return DRY.match(title.lower()) is not None


def wet(title: str) -> bool:
    return WET.match(title.lower()) is not None


def floor(title: str) -> bool:
    return FLOOR.search(title.lower()) is not None or MOP.search(title.lower()) is not None


def places(kind: RoomKind) -> list[tuple[int, str]]:
    return list(enumerate(task.title for task in kind.detail))


def after(firsts: list[tuple[int, str]], lasts: list[tuple[int, str]]) -> list[tuple[str, str]]:
    """What stands before something it has to come after."""
    return [(late, early) for at, late in lasts for before, early in firsts if at < before]


@EVERY
def test_above_the_floor_all_dry_work_comes_before_the_wet(kind: RoomKind) -> None:
    above = [(at, title) for at, title in places(kind) if not floor(title)]
    # Bed linen goes into the machine first, so that it is dry again by the evening.
    cloths = [(at, title) for at, title in above if wet(title) and "bed linen" not in title]
    assert after([one for one in above if dry(one[1])], cloths) == []


@EVERY
def test_dusting_begins_at_the_top(kind: RoomKind) -> None:
    dusted = [(at, title) for at, title in places(kind) if dry(title) and "inside" not in title]
    tops = [one for one in dusted if TOP.search(one[1].lower())]
    others = [one for one in dusted if one not in tops and "lamp" not in one[1] and "fan" not in one[1]]
    assert after(tops, others) == []


@EVERY
def test_the_skirting_comes_after_what_is_wiped_above_it(kind: RoomKind) -> None:
    wiped = [(at, title) for at, title in places(kind) if wet(title) and not floor(title)]
    low = [one for one in wiped if SKIRTING.search(one[1].lower())]
    above = [one for one in wiped if one not in low and not DOORSTEP.search(one[1])]
    assert after(above, low) == []


@EVERY
def test_the_floor_is_last_and_its_wet_part_the_very_last(kind: RoomKind) -> None:
    floors = [(at, title) for at, title in places(kind) if floor(title)]
    above = [
        one
        for one in places(kind)
        if one not in floors and (dry(one[1]) or wet(one[1])) and not DOORSTEP.search(one[1])
    ]
    mops = [one for one in floors if MOP.search(one[1].lower())]
    swept = [one for one in floors if one not in mops]
    assert after([*above, *swept], mops) == []
    # Where a floor is mopped, it may be swept before the wet work above it, and stays dry until the end.
    assert mops or after(above, swept) == []


def test_the_words_tell_enough_tasks_to_say_something() -> None:
    titles = [task.title for kind in KINDS for task in kind.detail]
    assert sum(map(dry, titles)) > 120
    assert sum(map(wet, titles)) > 150
    assert sum(map(floor, titles)) > 30
    assert all(any(map(dry, names)) and any(map(wet, names)) for names in _titles())


def _titles() -> list[list[str]]:
    return [[task.title for task in kind.detail] for kind in KINDS]
