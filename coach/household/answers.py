"""What the use cases answer about a household's start, its settings and its log that came in."""

# Pydantic reads these annotations at run time.
import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from coach.habits.answers import SlotName


@dataclass(frozen=True, slots=True)
class RootChoice:
    """A step a household can begin with, and why one would."""

    step: str
    title: str
    why: str | None
    minutes: int
    slot: SlotName


@dataclass(frozen=True, slots=True)
class Start:
    """What the start page offers."""

    course: str
    title: str
    summary: str
    roots: tuple[RootChoice, ...]
    paces: tuple[str, ...]
    pace_words: Mapping[str, str]
    zones: tuple[str, ...]
    started: bool


@dataclass(frozen=True, slots=True)
class Settings:
    """The household's settings in force; `week_starts` is `monday` or `sunday`."""

    zone: str
    day_starts: str
    minutes: int | None
    pace: str
    zones: tuple[str, ...]
    week_starts: str


@dataclass(frozen=True, slots=True)
class Imported:
    """What an import brought: how many rows, and the dates of the first and the last."""

    rows: int
    first: dt.date | None
    last: dt.date | None
