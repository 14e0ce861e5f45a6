"""What a coach reads of groups, in words."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

from coach.coaching.rules.word import Quiet
from coach.ground.wording import full_date

if TYPE_CHECKING:
    from collections.abc import Iterable

    from coach.coaching.rules.word import Reason


def reason_text(reason: Reason, title: str) -> str:
    """Why a household may want a word, as a sentence.

    Args:
        reason: Why.
        title: The title of the step it is about; empty for one about days.
    """
    if not isinstance(reason, Quiet):
        return (
            f"“{title}” has been practised for {reason.outcomes} outcomes, since {full_date(reason.since)}."
        )
    last = f", the last one on {full_date(reason.since)}" if reason.since else ""
    return f"No mark on {reason.days} days with a list{last}."


def word_text(name: str, quiet: Quiet | None, titles: tuple[str, ...]) -> str:
    """A text to copy, without blame: what a neighbour would ask.

    Args:
        name: What the household is called.
        quiet: Its days without a mark, if it has such.
        titles: Steps that have been practised for long.
    """
    said = [f"Hello {name}, how are you getting on?"]
    if quiet is not None:
        said.append(
            "Your list has been quiet for some days, and that is all right: there is nothing to catch up on."
        )
    if titles:
        named = " and ".join(f"“{one}”" for one in titles)
        said.append(f"{named} may want another moment of the day, or a smaller version.")
    said.append("If you would like to talk something over, write to me.")
    return " ".join(said)


def weeks_text(phases: Iterable[str]) -> str:
    """Phases at the ends of weeks since the start, with like ones together: “1 to 6 ramping, 7 steady”."""
    return ", ".join(
        f"{_from_to([week for week, _ in run])} {phase}"
        for phase, run in groupby(enumerate(phases, 1), key=lambda one: one[1])
    )


def _from_to(weeks: list[int]) -> str:
    return f"{weeks[0]}" if len(weeks) == 1 else f"{weeks[0]} to {weeks[-1]}"
