"""Spells of a household: its time with each step of its course, from the introduction to the first end.

Days are folded as everywhere (`coach.progress.replay`), and the trail looks at each once it has closed. What
happens first on a day ends a spell: a lapse begins with the day, before anything decided for it; then steps
are set aside; and a step settles at the close.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from coach.progress.opening import Opening, Phase

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import date

    from coach.ground.spells import Ending
    from coach.progress.state import Record, State

LEFT_AFTER = 28
"""After so many household days without a mark from a lapse on, paused ones not counted, a household left."""


@dataclass(slots=True)
class Stretch:
    """A spell while days are folded.

    Attributes:
        record: What has happened to its step; it goes on under another id where the course renames the step.
        digest: The version of the course that held when it was introduced.
        entered_on: The date of that.
        days: Household days so far, paused ones not counted.
        ending: How it ended.
        ended_on: When.
        unmarked: Days since the lapse that ended it, while none had a mark; None: no lapse, or it is over.
        pace: The pace that was followed when it was introduced.
    """

    record: Record
    digest: str
    entered_on: date
    days: int = 0
    ending: Ending = "open"
    ended_on: date | None = None
    unmarked: int | None = None
    pace: str = ""

    def end(self, ending: Ending, day: date) -> None:
        """End it on a day."""
        self.ending, self.ended_on = ending, day


@dataclass(slots=True)
class Spells:
    """All spells of a household up to the latest day that was taken in.

    Attributes:
        stretches: In the order in which they began.
        lapsing: Whether that day's close made the household lapsed from the next day on.
    """

    stretches: list[Stretch]
    lapsing: bool = False

    def take(self, opening: Opening, state: State) -> None:
        """Take in a day; the state is the one after its close."""
        is_paused = opening.phase is Phase.PAUSED
        _count_days(self._open(), is_paused=is_paused)
        if self.lapsing and not is_paused:
            _lapse(self._open(), opening.date)
        _set_aside(self._open(), opening.date)
        self._introduce(state, opening.date)
        _settle(self._open(), opening.date)
        self._leave(opening, is_paused=is_paused)
        self.lapsing = state.lapsed and opening.phase is not Phase.LAPSED

    def _open(self) -> list[Stretch]:
        return [one for one in self.stretches if one.ending == "open"]

    def _introduce(self, state: State, day: date) -> None:
        """Begin the spells of the day's new steps; those the household added are its own affair."""
        for record in state.records.values():
            if record.introduced == day and not record.own:
                begun = Stretch(record, state.course.digest, day, days=1, pace=state.pace)
                if record.set_aside:
                    begun.end("set aside", day)
                self.stretches.append(begun)

    def _leave(self, opening: Opening, *, is_paused: bool) -> None:
        """Count on the days since a lapse; a mark ends that, and after so many the household has left."""
        for one in self.stretches:
            if one.unmarked is None or is_paused:
                continue
            one.unmarked = None if opening.marks else one.unmarked + 1
            if one.unmarked == LEFT_AFTER:
                one.ending, one.unmarked = "left", None


def _count_days(stretches: Iterable[Stretch], *, is_paused: bool) -> None:
    if is_paused:
        return
    for one in stretches:
        one.days += 1


def _lapse(stretches: Iterable[Stretch], day: date) -> None:
    for one in stretches:
        one.end("lapsed", day)
        one.unmarked = 0


def _set_aside(stretches: Iterable[Stretch], day: date) -> None:
    for one in stretches:
        if one.record.set_aside:
            one.end("set aside", day)


def _settle(stretches: Iterable[Stretch], day: date) -> None:
    for one in stretches:
        if one.record.settled == day:
            one.end("settled", day)
