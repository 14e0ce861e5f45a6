"""How a household's service is: what is wrong at present, found by a few checks that cost little.

A check is a function in `CHECKS`. It looks at one thing, asks the database for little or nothing, folds no
days, and gives what is wrong as findings.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from coach.errors import StoreError
from coach.ground.findings import Finding, zone_findings
from coach.ground.situation import today_of
from coach.ground.versions import course_findings, present, versions_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from coach.ground.ports import Context, Household

    Check = Callable[[Context, Household], Iterable[Finding]]

NOT_TOLD = "The database cannot be used. Whoever runs this Steading sees why with `coach doctor`."

Status = Literal["ok", "degraded", "failing"]


@dataclass(frozen=True, slots=True)
class Health:
    """How the service is.

    Attributes:
        status: `ok`; `degraded`, where something is wrong and the pages answer all the same; `failing`, where
            the database cannot be used, or does not lie in its place any more.
        findings: What is wrong, in sentences.
    """

    status: Status
    findings: tuple[Finding, ...] = ()


def health(context: Context, household: str) -> Health:
    """How the service is: one read by primary key, and one more where the course's files are gone."""
    gone = context.store.trouble()
    try:
        home = context.store.version(household)
        found = [] if home is None else [one for check in CHECKS for one in check(context, home)]
    except StoreError as error:
        return Health("failing", (_database(context, gone or str(error)),))
    if gone is not None:
        return Health("failing", (_database(context, gone), *dict.fromkeys(found)))
    findings = tuple(dict.fromkeys(found))
    return Health("degraded" if findings else "ok", findings)


def _database(context: Context, text: str) -> Finding:
    """What is wrong with the database; where many households share it, without files and servers."""
    return Finding("database", NOT_TOLD if context.is_hosted else text)


def _course(context: Context, home: Household) -> Iterable[Finding]:
    """Whether the lessons have the household's course."""
    if present(context, home) is not None:
        return ()
    with context.store.reading(home.id) as reading:
        versions = versions_of(context, home, reading, today_of(context, home))
        return course_findings(context, home, reading, versions)


def _zone(_context: Context, home: Household) -> Iterable[Finding]:
    """Whether this computer knows the household's time zone."""
    return zone_findings(home.zone)


def _noted(context: Context, home: Household) -> Iterable[Finding]:
    """What the pages came upon since the household's last change."""
    return context.noted.of(home.id, home.version)


CHECKS: tuple[Check, ...] = (_course, _zone, _noted)
