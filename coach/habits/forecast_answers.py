"""What the use cases answer about how long it takes, as pages and JSON render it."""

# Pydantic reads these annotations at run time.
import datetime as dt
from dataclasses import dataclass
from typing import Literal

CannotSayName = Literal["nothing-left", "paused", "lapsed", "returning", "too-few", "too-far"]
ChangeName = Literal["gentler", "fewer", "day-off"]


@dataclass(frozen=True, slots=True)
class Held:
    """What came of the household's earlier forecasts.

    Attributes:
        over: How many are over: the day has come, or their range has passed.
        held: How many of these had the day within their range.
    """

    over: int
    held: int


@dataclass(frozen=True, slots=True)
class Span:
    """By when the last waiting step settles, from where a household stands or as it might.

    Attributes:
        from_: The first date of the range in the middle that holds 8 in 10 of the futures.
        to: Its last date.
        median: The first date by which the chance is 1 in 2.
        likely: The first one by which it is 8 in 10.
        futures: How many futures were followed.
        seed: What they were drawn with: the same household, date and log have the same numbers.
        cannot_say: Why there are no dates, or None.
        text: The same in words.
    """

    from_: dt.date | None
    to: dt.date | None
    median: dt.date | None
    likely: dt.date | None
    futures: int
    seed: int
    cannot_say: CannotSayName | None
    text: str


@dataclass(frozen=True, slots=True)
class Forecast:
    """A household's forecast on a date.

    Attributes:
        on: The household's date.
        span: The dates, or why there are none.
        record: What came of earlier ones.
        record_text: The same in words; empty while none is over.
    """

    on: dt.date
    span: Span
    record: Held
    record_text: str


@dataclass(frozen=True, slots=True)
class Choice:
    """Where a household can choose a change: what the link says, and the page, with the step it is about."""

    words: str
    page: Literal["settings", "step", "path"]
    step: str | None = None


@dataclass(frozen=True, slots=True)
class Change:
    """One thing a household might change, and the dates if it did so today.

    Attributes:
        change: Which.
        title: What it is, for a heading.
        means: What was changed in the futures.
        span: The dates that follow.
        choices: Where it can be chosen.
    """

    change: ChangeName
    title: str
    means: str
    span: Span
    choices: tuple[Choice, ...]


@dataclass(frozen=True, slots=True)
class WhatIf:
    """The present dates, and those of each change that there is room for.

    Attributes:
        on: The household's date.
        present: As things are.
        changes: Empty where nothing can be said as things are, unless a year is not enough.
    """

    on: dt.date
    present: Span
    changes: tuple[Change, ...]
