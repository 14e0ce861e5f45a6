"""What `course.toml` may say: the title and the numbers of the rules, with their defaults."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coach.course.keys import (
    Check,
    Found,
    filled_text,
    number,
    said,
    table,
    table_faults,
    text,
    too_low,
    whole,
)
from coach.course.model import Hold, Return, Strength


def _paces(path: str, value: object) -> Found:
    if not isinstance(value, Mapping):
        yield path, f"“{path}” needs a table of names with numbers, not {said(value)}"
        return
    for name, added in value.items():
        if not name.strip():
            yield path, f"“{path}” has a pace without a name"
        if name in COURSE_KEYS:
            yield f"{path}.{name}", f"“{path}.{name}” would be a pace of that name; {too_low(name)}"
        else:
            yield from whole(0)(f"{path}.{name}", added)


_SHARE = number(0, 1)
_MORE_THAN_NONE = number(0, more=True)

COURSE_KEYS: dict[str, Check] = {
    "title": filled_text,
    "summary": text,
    "licence": text,
    "ramp_days": whole(1),
    "at_once": whole(1),
    "lapse_after": whole(1),
    "paces": _paces,
}
_TABLES: dict[str, dict[str, Check]] = {
    "hold": {"at_least": _SHARE, "over": whole(1)},
    "return": {"half_life": _MORE_THAN_NONE, "good_day": _SHARE},
    "strength": {"days_to_95": _MORE_THAN_NONE, "half_life_missed": _MORE_THAN_NONE},
}
COURSE_KEYS.update({name: table(keys, outer=COURSE_KEYS) for name, keys in _TABLES.items()})


def course_faults(settings: Mapping[str, object]) -> list[tuple[str, str]]:
    """Find every fault of `course.toml`: (key, or path such as `hold.over`; reason)."""
    return list(table_faults(COURSE_KEYS, "", settings, required=("title",)))


def course_values(settings: Mapping[str, Any]) -> dict[str, Any]:
    """What a course takes from a `course.toml` without faults; keys left out keep their defaults."""
    values = dict(settings)
    if "paces" in values:
        values["paces"] = {"standard": 0} | values["paces"]
    if "return" in values:
        values["returning"] = Return(**values.pop("return"))
    numbers = {"hold": Hold, "strength": Strength}
    return values | {key: numbers[key](**values[key]) for key in numbers if key in values}
