"""What a message says: the title of the lesson and how many lines there are, nothing else of a household."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.messages.rules.due import LATER

if TYPE_CHECKING:
    from coach.messages.answers import Outcome
    from coach.messages.rules.due import Kind

NO_LESSON = "The list of today"
AWAY_TITLE = "Your list is here when you want it"
LAST_TITLE = "One last note, and then it is quiet"
TRIED_TITLE = "This is how a message arrives"
TRIED_BODY = "You asked for this one. It does not stand in for the one of the day."

WHY_LENGTH = 200
"""Characters of why something was not sent that are kept."""

UNKNOWN = "Whether it arrived is not known: something went wrong on the way."

_SAID = {
    "sent": "Sent.",
    "gone": "Nobody is reached there any more, so the messages ended.",
    LATER: "Put off.",
    "refused": "Not sent.",
}


def title_of(kind: Kind, lesson: str | None) -> str:
    """The one line above a message."""
    if kind == "day":
        return lesson or NO_LESSON
    return AWAY_TITLE if kind == "week" else LAST_TITLE


def body_of(kind: Kind, left: int, lines: int) -> str:
    """The words below it.

    Args:
        kind: What it is.
        left: Lines without a mark; in a lapse those that would come back at once.
        lines: Lines of the list.
    """
    if kind == "week":
        return f"It begins small: {_lines(left)} to come back to. Whatever day you choose is a good one."
    if kind == "weeks":
        return f"Your list stays and begins small: {_lines(left)}. Nothing more comes until you are back."
    return f"{_lines(lines)} today." if left == lines else f"{left} of {_lines(lines)} left today."


def _lines(number: int) -> str:
    return "1 line" if number == 1 else f"{number} lines"


def outcome_text(outcome: Outcome) -> str:
    """An outcome as it is kept."""
    return f"{outcome.result}: {outcome.why}"[:WHY_LENGTH] if outcome.why else outcome.result


def outcome_words(kept: str) -> str:
    """What is kept of an outcome, for people."""
    result, _, why = kept.partition(": ")
    said = _SAID.get(result, UNKNOWN)
    return f"{said} {why}" if why else said
