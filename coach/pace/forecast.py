"""By when one household's last waiting step settles: dates out of its own log, or why none can be said.

What the household's log tells is turned into what is believed of it (`coach/pace/posterior.py`); from there
it sets out into many futures by the rules of its course, as they hold for it today, and the dates are
counted.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

import numpy as np

from coach.pace.believed import believed_of
from coach.pace.falls import Falls, days_from
from coach.pace.following import Follower
from coach.pace.futures import NEVER, Futures
from coach.pace.posterior import posterior
from coach.pace.present import present, rulebook_of
from coach.pace.ranges import around, quantile
from coach.progress import decisions
from coach.progress.log import What
from coach.progress.opening import Phase
from coach.progress.unlocking import left_to_settle

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from numpy.typing import NDArray

    from coach.pace.evidence import Evidence
    from coach.progress.journal import Journal
    from coach.progress.opening import Opening
    from coach.progress.state import State

FUTURES = 2000
FEWEST_OUTCOMES = 10
LONGEST = 365
"""By so many days ahead the chance has to be 8 in 10 for dates to be said; a design choice, as the fewest
outcomes are."""
_REACH = 5 * LONGEST
"""So many days ahead the end of the range is looked for, which may lie far beyond the day of that chance."""
_PAUSES = frozenset({What.PAUSE, What.RESUME})
_MEDIAN, _LIKELY, _SHARE, _ENOUGH = 0.5, 0.8, 0.8, 0.9


class CannotSay(StrEnum):
    """Why no date is said."""

    NOTHING_LEFT = "nothing-left"
    PAUSED = "paused"
    LAPSED = "lapsed"
    RETURNING = "returning"
    TOO_FEW = "too-few"
    TOO_FAR = "too-far"


@dataclass(frozen=True, slots=True)
class Forecast:
    """By when the last waiting step settles.

    Attributes:
        from_: The first date of the range in the middle that holds 80 % of the futures, as near as whole days
            allow (`coach/pace/ranges.py`).
        to: Its last date.
        median: The first date by which the chance is 1 in 2.
        likely: The first date by which it is 8 in 10.
        futures: How many futures were followed; 0 where nothing can be said without following any.
        seed: What they were drawn with.
        cannot_say: Why there are no dates, or None.
    """

    futures: int
    seed: int
    from_: date | None = None
    to: date | None = None
    median: date | None = None
    likely: date | None = None
    cannot_say: CannotSay | None = None


@dataclass(frozen=True, slots=True)
class Household:
    """What a forecast looks at.

    Attributes:
        state: The state after today's opening; it is left as it is.
        opening: Today's opening.
        book: The log, for the pauses that are still to come.
        evidence: What the days before today told.
    """

    state: State
    opening: Opening
    book: Journal
    evidence: Evidence


def forecast(home: Household, seed: int, futures: int = FUTURES) -> Forecast:
    """The forecast of a household; the same seed gives the same dates.

    Other decisions that are dated ahead than pauses are not looked at, nor are later versions of the course.
    """
    # Today, the days ahead, and one more for the last one's tomorrow.
    days = days_from(home.opening.date, _REACH + 1, home.state.zone)
    paused = paused_ahead(home.state, home.book, days)
    reason = _reason(home) or (CannotSay.PAUSED if paused is None else None)
    if reason or paused is None:
        return Forecast(0, seed, cannot_say=reason)
    places = np.sort(_settling_places(home, days, paused, np.random.default_rng(seed), futures))
    return _said(places, days, seed)


def _said(places: NDArray[np.int64], days: Sequence[date], seed: int) -> Forecast:
    """What sorted places come to."""
    middle, likely = quantile(places, _MEDIAN), quantile(places, _LIKELY)
    first, last = around(places, _SHARE, (middle, likely))
    if likely > LONGEST or last == NEVER:
        return Forecast(places.size, seed, cannot_say=CannotSay.TOO_FAR)
    return Forecast(places.size, seed, days[first], days[last], days[middle], days[likely])


def _reason(home: Household) -> CannotSay | None:
    """Why nothing can be said before any future is looked at; a day that rests comes first."""
    phase = home.opening.phase
    reasons = (
        (CannotSay.LAPSED, phase is Phase.LAPSED),
        (CannotSay.RETURNING, home.opening.comeback is not None),
        (CannotSay.NOTHING_LEFT, not left_to_settle(home.state)),
        (CannotSay.TOO_FEW, home.evidence.outcomes < FEWEST_OUTCOMES),
    )
    return next((reason for reason, holds in reasons if holds), None)


def paused_ahead(state: State, book: Journal, days: Sequence[date]) -> list[bool] | None:
    """For each of the days from today on whether it is paused; None if a pause without an end covers one.

    Args:
        state: The state after today's opening.
        book: The log.
        days: In order, the first one today.
    """
    coming = [row for row in book.decisions if row.date > days[0] and row.what in _PAUSES]
    if state.pause is None and not coming:
        return [False] * len(days)
    twin, found, before = state.copy(), [], days[0]
    for day in days:
        decisions.apply(twin, [row for row in coming if before < row.date <= day])
        before, pause = day, twin.pause
        is_paused = pause is not None and pause.covers(day)
        if pause is not None and is_paused and pause.until is None:
            return None
        found.append(is_paused)
    return found


def _settling_places(
    home: Household, days: Sequence[date], paused: Sequence[bool], generator: np.random.Generator, many: int
) -> NDArray[np.int64]:
    """(many,) the place of the day on which each future is done."""
    rules = rulebook_of(home.state)
    falls = Falls(rules.repeats, days)
    follower = Follower(rules, days, first=None, falls=falls)
    now = present(home.state, home.opening, rules, falls, many, follower.reach)
    drawn = posterior(home.evidence).draw(generator, many)
    believed = believed_of(drawn, (record.step for record in home.state.records.values()), days)
    going = Futures(follower, now.block, believed, np.full(many, home.evidence.quiet), generator)
    going.end_today(now)
    day = going.follow(1, paused, LONGEST + 1, _ENOUGH)
    if going.done_before(day) >= _LIKELY * many:
        going.follow(day, paused, _REACH + 1, _ENOUGH)
    return going.settled_on
