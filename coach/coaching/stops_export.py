"""Where people stop as it may be saved as a file: whatever is about fewer than ten households is hidden."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from typing import TYPE_CHECKING

from coach.coaching.rules.hiding import FEWEST_EXPORTED
from coach.coaching.rules.wilson import share
from coach.coaching.stopping import nothing_told

if TYPE_CHECKING:
    from collections.abc import Iterator

    from coach.coaching.stopping_answers import StepStops, Stopping

NUMBERS = ("settled", "set_aside", "lapsed", "left", "open")
HEAD = (
    "step", "title", "as_of", "entered", *NUMBERS, "settled_share", "settled_low", "settled_high",
    "median", "median_low", "median_high",
)  # fmt: skip


def stops_csv(stops: Stopping) -> str:
    """A line for each step; a number that is hidden is empty."""
    text = io.StringIO()
    lines = csv.writer(text)
    lines.writerow(HEAD)
    lines.writerows(_line(exported(one)) for one in stops.steps)
    return text.getvalue()


def exported(one: StepStops) -> StepStops:
    """A step with everything hidden that is about fewer than ten households, and what would tell it."""
    if one.entered is None or one.entered < FEWEST_EXPORTED:
        return _nothing(one)
    told: dict[str, int | None] = {key: getattr(one, key) for key in NUMBERS}
    hidden = {key for key, number in told.items() if number and number < FEWEST_EXPORTED}
    rest = one.rest + sum(told[key] or 0 for key in hidden)
    while 0 < rest < FEWEST_EXPORTED:
        others = [key for key in reversed(NUMBERS) if told[key] and key not in hidden]
        if not others:
            return _nothing(one)
        least = min(others, key=lambda key: told[key] or 0)
        hidden.add(least)
        rest += told[least] or 0
    shown = {key: None if key in hidden else number for key, number in told.items()}
    return replace(
        one,
        settled=shown["settled"],
        set_aside=shown["set_aside"],
        lapsed=shown["lapsed"],
        left=shown["left"],
        open=shown["open"],
        rest=rest,
        incidence=(),
        shares=(),
    )


def _nothing(one: StepStops) -> StepStops:
    return nothing_told(one.step, one.title, anew=one.anew, waiting=True)


def _line(one: StepStops) -> Iterator[object]:
    yield from (one.step, one.title, one.as_of, one.entered)
    yield from (getattr(one, key) for key in NUMBERS)
    if one.settled is None or not one.entered:
        yield from ("", "", "")
    else:
        yield from (round(value, 4) for value in share(one.settled, one.entered))
    if one.settled is None:
        yield from ("", "", "")
    else:
        yield from (one.median, one.median_low, one.median_high)
