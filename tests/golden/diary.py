"""A household's diary in files a person can read: its home, and what it does on which date.

A folder such as `ninety-days/` has

- `home.toml`: the areas with their tasks, and the dishes;
- `diary.txt`: one line for each thing done; its head says how it is written;
- `weeks.txt`, `days.txt`, `dinners.txt`, `desk.txt`: what it sees, read against the home rules by a person;
- `weeks-by-month.txt`, `weeks-by-need.txt`: the weeks twice more, with the areas going by month and by need.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

from coach.kitchen.dishes import TypedDish, TypedFrozen

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from coach.areas.setup import WantedArea

NINETY_DAYS = Path(__file__).parent / "ninety-days"
DAYS = 90
_LINE = re.compile(r"(?P<on>\d{4}-\d\d-\d\d) (?P<weekday>\w{3})  (?P<what>[a-z-]+)(?: +(?P<about>.+))?")


@dataclass(frozen=True, slots=True)
class Doing:
    """One thing the household does.

    Attributes:
        what: The verb.
        about: What stands after it.
    """

    on: date
    what: str
    about: str


@dataclass(frozen=True, slots=True)
class Diary:
    """The household's home, and all it does, in order."""

    areas: tuple[WantedArea, ...]
    dishes: Mapping[str, TypedDish]
    doings: tuple[Doing, ...]

    @property
    def days(self) -> tuple[date, ...]:
        """The ninety days."""
        return tuple(self.doings[0].on + timedelta(days=ahead) for ahead in range(DAYS))

    def on(self, day: date) -> list[Doing]:
        """What is done on a day, in the order of the lines."""
        return [doing for doing in self.doings if doing.on == day]

    def dues(self) -> Iterator[Doing]:
        """The lines that write a due down."""
        return (doing for doing in self.doings if doing.what == "due")


def diary_of(folder: Path) -> Diary:
    """Read the files of a diary."""
    home = tomllib.loads((folder / "home.toml").read_text(encoding="utf-8"))
    doings = tuple(_doings((folder / "diary.txt").read_text(encoding="utf-8")))
    assert list(doings) == sorted(doings, key=lambda doing: doing.on)
    return Diary(
        areas=tuple(home["area"]),
        dishes={word: _dish(values) for word, values in home["dish"].items()},
        doings=doings,
    )


def _doings(text: str) -> Iterator[Doing]:
    for line in text.splitlines():
        if line and not line.startswith("#"):
            yield _doing(line)


def _doing(line: str) -> Doing:
    found = _LINE.fullmatch(line)
    assert found, line
    on = date.fromisoformat(found["on"])
    assert f"{on:%a}" == found["weekday"], line
    return Doing(on, found["what"], found["about"] or "")


def _dish(values: dict[str, Any]) -> TypedDish:
    return TypedDish(
        values["name"],
        "\n".join(values["ingredients"]),
        tuple(TypedFrozen(*item) for item in values.get("frozen", ())),
        str(values["cooking"]),
    )
