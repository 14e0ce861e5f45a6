"""The week in words: overload, what can wait, and what balance would bring."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.ground.wording import minutes_words

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from coach.week.answers import JobLineView
    from coach.week.rules.balance import Proposal

CUT_SHORT = "The search was ended when its time was up, so there may be a better week still."
AS_GOOD_AS_IT_GETS = "No other days would make this week lighter than it is."
OWN_PAGE = "A step's own page changes its minutes, and the days of what comes several times a week."
FEW = ("No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine", "Ten")


def overload_text(day: date, overload: int) -> str | None:
    """By how much a date is too full: "Thursday is 25 minutes over."; None if it is not."""
    if not overload:
        return None
    return f"{day:%A} is {minutes_words(overload)} over."


def balance_text(proposal: Proposal) -> str:
    """What accepting a proposal would bring, and whether there was no time to look for a better one."""
    if proposal.proven:
        return _gain(proposal) or f"{AS_GOOD_AS_IT_GETS}{_instead(proposal)}"
    return f"{_gain(proposal) or 'No days were found that would make this week lighter.'} {CUT_SHORT}"


def _instead(proposal: Proposal) -> str:
    return f" {OWN_PAGE}" if proposal.after.overload else ""


def done_text(lines: Sequence[JobLineView]) -> str:
    """That nothing of a job is left to tick; empty while a line is, or where none was finished."""
    states = {line.state for line in lines}
    if states == {"done"}:
        return "Every line is finished."
    return "Every line is finished or left for the next time." if states == {"done", "later"} else ""


def _gain(proposal: Proposal) -> str:
    moves = len(proposal.moves)
    if not moves:
        return ""
    count = FEW[moves] if moves < len(FEW) else str(moves)
    before, after = proposal.before, proposal.after
    words = f"{count} {'job moves' if moves == 1 else 'jobs move'}. "
    if after.overload < before.overload:
        left = "none" if not after.overload else minutes_words(after.overload)
        words += f"Of the {minutes_words(before.overload)} too many, {left} would be left. "
    if after.heaviest == before.heaviest:
        return f"{words}The fullest day stays at {minutes_words(after.heaviest)}."
    return f"{words}The fullest day would have {minutes_words(after.heaviest)}; now it has {before.heaviest}."
