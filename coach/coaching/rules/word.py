"""Who may want a word from their coach, by what is saved of their days; nobody is ranked."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from datetime import date

    from coach.ground.spells import Followed, Spell

QUIET_FROM = 3
"""From so many days without a mark on which a list was due; fewer are a weekend."""

QUIET_TO = 6
"""To so many; one more, and a household is away, which is its own to say."""

LONG = 10
"""A step that is practised still after so many outcomes may not fit."""

HERE = frozenset({"ramping", "steady", "rebuilding"})
"""Phases in which a household is not away."""


@dataclass(frozen=True, slots=True)
class Quiet:
    """No mark for some days on which a list was due.

    Attributes:
        days: How many.
        since: The date of the last mark; None: there is none.
    """

    days: int
    since: date | None


@dataclass(frozen=True, slots=True)
class Long:
    """A step that has been practised for long.

    Attributes:
        step: The step.
        outcomes: How often it was kept or missed.
        since: When it was introduced.
    """

    step: str
    outcomes: int
    since: date


Reason = Quiet | Long


def reasons(followed: Followed, spells: Iterable[Spell]) -> Iterator[Reason]:
    """Why a household may want a word, its days first, then its steps in the order in which they came."""
    if followed.phase not in HERE:
        return
    if QUIET_FROM <= followed.due_since <= QUIET_TO:
        yield Quiet(followed.due_since, followed.last_mark)
    for spell in spells:
        if spell.ending == "open" and spell.state == "practising" and spell.outcomes >= LONG:
            yield Long(spell.step, spell.outcomes, spell.entered_on)
