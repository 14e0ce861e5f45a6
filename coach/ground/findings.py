"""What is wrong with what a household keeps, in sentences: what stands in, what was left out, what to do."""

from __future__ import annotations

from dataclasses import dataclass
from threading import Lock
from typing import TYPE_CHECKING, Literal

from coach.ground.wording import whole_date
from coach.progress.days import FIRST_ZONE, is_known

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import date


FindingKind = Literal["course", "course-version", "zone", "log", "plan", "database"]
NAMED = 3
"""How many rows of a log that were left out are named; the rest is counted."""
REMEMBERED = 50
"""How many findings are remembered of a household, so that damage everywhere fills no memory."""


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that is wrong.

    Attributes:
        kind: What it is about.
        text: What is wrong, what stands in, and what to do.
    """

    kind: FindingKind
    text: str


_KINDS = {
    "areas": "The plan of the areas",
    "available": "The minutes available",
    "area-days": "The days for area work",
    "job": "The lines of a weekday job",
    "tick": "A ticked line of a weekday job",
    "timer": "A timer of a weekday job",
    "moved": "The last move of jobs",
    "dinner": "A dinner",
    "favourite": "A favourite",
    "at-home": "A tick of the shopping list",
    "shopping": "A line of the shopping list",
    "due": "A due",
    "due-done": "A due that is over",
    "todo": "A thing to do",
    "todo-done": "A thing that was finished",
    "picked": "The put-off job that was picked",
    "few": "What was left out for a day",
    "taken": "Who takes a line of a day",
    "sheet": "How the week sheet is wanted",
    "handover": "A page of the handover",
    "handover-order": "The order of the pages of the handover",
    "note-away": "A note that was put away",
    "forecast": "An earlier forecast",
    "kept-log": "The log that was kept before another one came in",
}
"""What a person calls one value of a kind of the plan."""


@dataclass(frozen=True, slots=True)
class LeftRow:
    """A row of the log that was left out, as it says, and why."""

    said: str
    reason: str


def course_gone(name: str, since: date) -> Finding:
    """The course's files are not there, and its stored version stands in."""
    return Finding(
        "course",
        f"The course “{name}” is not in the lessons folder. You go on with its version of "
        f"{whole_date(since)}, and nothing is lost. To bring it back, start Steading with its --lessons.",
    )


def course_unknown(name: str, instead: str) -> Finding:
    """Neither the course's files are there nor any stored version."""
    return Finding(
        "course",
        f"The course “{name}” is not in the lessons folder, and no version of it is kept here. The course "
        f"“{instead}” stands in. To bring yours back, start Steading with its --lessons.",
    )


def version_unreadable(since: date, instead: date | None) -> Finding:
    """A stored version cannot be read; another one of that date, or the present files, stands in."""
    other = f"its version of {whole_date(instead)}" if instead else "the course as its files are now"
    return Finding(
        "course-version",
        f"The course as it was from {whole_date(since)} on cannot be read any more, so for those days "
        f"{other} stands in. A backup from before may still have it; the page Data brings it back.",
    )


def zone_findings(zone: str) -> tuple[Finding, ...]:
    """What is wrong with a household's time zone, if anything."""
    if is_known(zone):
        return ()
    said = f"The time zone “{zone}” is not one that this computer knows. Until another is chosen on the"
    return (Finding("zone", f"{said} page Settings, days and hours go by {FIRST_ZONE}."),)


def log_finding(left: Sequence[LeftRow]) -> Finding:
    """Rows of the log that were left out, at least one."""
    if len(left) == 1:
        text = f"A row of the log cannot be used and is left out: {left[0].said}. {left[0].reason} "
        return Finding("log", f"{text}It stays in the log.")
    named = "; ".join(row.said for row in left[:NAMED])
    more = f"; and {len(left) - NAMED} more" if len(left) > NAMED else ""
    said = f"{len(left)} rows of the log cannot be used and are left out: {named}{more}."
    return Finding("log", f"{said} They stay in the log. The page Rescue says what is wrong with each kind.")


def value_left_out(what: str, key: str) -> Finding:
    """A value of the plan that cannot be read; a kind of which there is one has an empty key."""
    name = _KINDS.get(what, f"A value of the plan ({what})")
    place = f" ({key[:60]})" if key else ""
    return Finding(
        "plan",
        f"{name}{place}: what is kept cannot be read and is left out here. Nothing is deleted: it stays in "
        "the database, and you can enter it anew.",
    )


class Noted:
    """What the pages found wrong lately, for whoever asks how the service is, without another look.

    It holds for one version of a household: once something is written, the pages find anew what is left.
    """

    def __init__(self) -> None:
        self._found: dict[str, tuple[int, dict[Finding, None]]] = {}
        self._lock = Lock()

    def note(self, household: str, version: int, findings: Iterable[Finding]) -> None:
        """Remember what a reading of a household's version found."""
        with self._lock:
            noted, known = self._found.get(household, (version, {}))
            known = (known if noted == version else {}) | dict.fromkeys(findings)
            self._found[household] = version, dict(list(known.items())[:REMEMBERED])

    def of(self, household: str, version: int) -> tuple[Finding, ...]:
        """What was found in that version."""
        with self._lock:
            noted, known = self._found.get(household, (version, {}))
        return tuple(known) if noted == version else ()
