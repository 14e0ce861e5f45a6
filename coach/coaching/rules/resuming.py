"""A trail taken up again at a standing that was kept, so that a long log is not folded anew every day.

What a standing does not tell is taken from what is saved: how spells ended that had ended by then. Where both
together do not say all of it, the trail is followed from the start.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.coaching.rules.following import Saved, Trail, fold
from coach.coaching.rules.spells import LEFT_AFTER, Spells, Stretch
from coach.ground.weeks import DAYS_IN_WEEK
from coach.progress.days import ONE_DAY, exists, following
from coach.progress.log import What

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from coach.ground.spells import Spell
    from coach.progress.journal import Journal
    from coach.progress.state import State

SETTLED_BY = 7
"""So many days before the last one that is saved, no mark could change any more when it was saved."""

MOVING = frozenset({What.PAUSE, What.RESUME, What.ZONE})
"""Rows that say which days are counted: beside one of these the days saved are not told back."""

SPARE = 2
"""Dates that may be missing in a household's calendar, where dates are counted and not its days."""


def saved_from(state: State, kept: Saved, book: Journal, last: date) -> Saved | None:
    """What is saved through a closed day, folded on from a state.

    Args:
        state: As it stood at least `SETTLED_BY` days before the last day that is saved; it is folded on.
        kept: What is saved.
        book: The log after the state's day.
        last: The closed day.

    Returns:
        It; None where it has to be folded from the start.
    """
    pause, through = state.pause, state.through
    may_pause = pause is not None and (pause.until is None or through is None or pause.until > through)
    if may_pause or any(row.what in MOVING for row in book.decisions):
        return None
    trail = _trail(state, kept)
    if trail is None:
        return None
    is_certain = _is_still_away(state, kept) and not book.decisions
    found = fold(trail, state, book, last)
    # The days since the last mark on which a list was due are known only if none was, or a mark came since.
    return found if is_certain or trail.marked else None


def _trail(state: State, kept: Saved) -> Trail | None:
    """The trail at the state's day; None where that is not known."""
    through, saved = state.through, kept.followed
    if through is None or saved.started_on != state.started:
        return None
    began = [spell for spell in kept.spells if spell.entered_on <= through]
    found = (_stretch(state, spell, through, saved.through) for spell in began)
    stretches = [one for one in found if one is not None]
    weeks = (following(through, state.zone) - state.started).days // DAYS_IN_WEEK
    if {one.record.base.id for one in stretches} != set(_begun(state)) or len(saved.weeks) < weeks:
        return None
    spells = Spells(stretches, lapsing=state.lapsed and not state.yesterday.lapsed)
    return Trail(
        state.started, spells, list(saved.weeks[:weeks]), "", saved.last_mark, saved.due_since, through
    )


def _begun(state: State) -> Iterator[str]:
    """The steps of the course that have been introduced."""
    return (
        step for step, record in state.records.items() if record.introduced is not None and not record.own
    )


def _stretch(state: State, spell: Spell, through: date, saved_through: date) -> Stretch | None:
    """A spell as it stood on the state's day; None where that is not known.

    Since then no day was paused, so that one which was open had as many days less as there were.
    """
    record = state.records.get(spell.step)
    if record is None or record.introduced != spell.entered_on:
        return None
    found = Stretch(record, spell.digest, spell.entered_on, pace=spell.pace)
    last = spell.ended_on or saved_through
    if spell.ended_on is None or spell.ended_on > through:
        found.days = spell.days - _days_between(through, last, state.zone)
        return found
    found.days, found.ending, found.ended_on = spell.days, spell.ending, spell.ended_on
    is_known = spell.ending in {"settled", "set aside"} or _is_over(state, spell.ended_on, through)
    return found if is_known else None


def _days_between(after: date, last: date, zone: str) -> int:
    """The household days after a date up to another one."""
    return sum(exists(after + number * ONE_DAY, zone) for number in range(1, (last - after).days + 1))


def _is_over(state: State, lapse: date, through: date) -> bool:
    """Whether it was decided by the state's day who left and who lapsed in a lapse that began on a date."""
    dates = (through - lapse).days
    if state.yesterday.lapsed and state.away[-1][0] == lapse:
        return dates >= LEFT_AFTER + SPARE
    return dates >= state.gap + SPARE


def _is_still_away(state: State, kept: Saved) -> bool:
    """Whether the household was lapsed on the state's day, and had not been back when its days were saved."""
    marked, through = kept.followed.last_mark, state.through
    return state.yesterday.lapsed and through is not None and (marked is None or marked <= through)
