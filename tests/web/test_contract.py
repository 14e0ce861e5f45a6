"""The JSON interface keeps to its description in every phase and by every check that schemathesis has."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
import schemathesis
from schemathesis.engine import events, from_schema

from web.house import ADDRESS, House

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

MOST = 3
"""Examples an operation, beside those of the coverage phase, which are as many as its schema has edges."""

BLANK = "a name of spaces alone is refused in a sentence of the room's"
NAMES = "a name may be blank, or one that is there already"
WORDS = {
    "POST /api/areas": BLANK,
    "PATCH /api/areas": "numbers that make no sense for a home are refused in the plan's own sentences",
    "PUT /api/areas": "the same; ids, names and places have to fit each other",
    "POST /api/areas/proposal": "at least one room, and no more areas than there can be",
    "POST /api/areas/set-up": "the same",
    "PATCH /api/areas/{area}": NAMES,
    "POST /api/areas/{area}/merge": "an area cannot be merged with itself",
    "POST /api/areas/{area}/rooms": NAMES,
    "POST /api/areas/{area}/split": "the rooms and tasks have to be the area's",
    "POST /api/areas/{area}/tasks": "numbers that make no sense, and cautions there are none of",
    "PATCH /api/tasks/{task}": "the same",
    "POST /api/balance": "steps and dates of the week have to fit each other",
    "GET /api/balance": "a week 53 that its year does not have",
    "GET /api/load": "the same",
    "GET /api/week/{week}": "the same",
    "GET /api/dinners": "the same",
    "PUT /api/dinners/{date}": "a time of day, a weight with its unit, a favourite there is",
    "POST /api/favourites": "a weight with its unit, a dish that has a name",
    "PUT /api/favourites/{favourite}": "the same",
    "POST /api/dues": "a rule of RFC 5545 that comes at least once",
    "PUT /api/dues/{due}": "the same",
    "POST /api/to-dos": "as many titles as are taken at once, none of them blank",
    "PATCH /api/to-dos/{todo}": BLANK,
    "GET /api/quick": "a line of at most 250 characters, which a sentence says",
    "POST /api/quick": "a due has a date",
    "POST /api/log.csv": "a log has a grammar of its own",
    "POST /api/pause": "an end after its beginning",
    "POST /api/resume": "a planned pause with that first day",
    "POST /api/rotation/declutter": "no more weeks than there can be",
    "POST /api/rotation/skip": "a week from this one on",
    "POST /api/rotation/swap": "two weeks from this one on that are not the same",
    "POST /api/start": "a step, a zone and a pace that there are",
    "POST /api/steps": "rules, ids and cautions that there are",
    "PATCH /api/steps/{step}": "the same",
    "POST /api/jobs/{step}/move": "two dates of one week",
    "PUT /api/jobs/{step}/lines": "ids of lines that the job has",
}
"""Operations that refuse what their schema lets through, and what it is that no schema can say."""

NAMED = {
    "POST /api/areas/proposal": "an area may have the name “Proposal”, and is asked for there",
    "POST /api/areas/set-up": "an area may have the name “Set-up”",
    "POST /api/areas/undo": "an area may have the name “Undo”",
    "POST /api/week/undo": "a GET there is answered as for every week that is none",
}
"""Addresses that are those of another operation too, so that `Allow` names methods of both."""


def _exempt(check: str, operations: dict[str, str]) -> list[dict[str, Any]]:
    return [{"include-name": name, "checks": {check: {"enabled": False}}} for name in operations]


def _merged(*lists: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """One entry an operation, since the first that fits is the one that counts."""
    found: dict[str, dict[str, Any]] = {}
    for one in (one for each in lists for one in each):
        found.setdefault(one["include-name"], {}).update(one["checks"])
    return [{"include-name": name, "checks": checks} for name, checks in found.items()]


HOST = {"host": ADDRESS.removeprefix("http://")}
CONFIG: dict[str, Any] = {
    "seed": 1,
    "headers": HOST,
    "generation": {"max-examples": MOST, "deterministic": True, "database": "none"},
    "operations": _merged(
        _exempt("positive_data_acceptance", WORDS), _exempt("allow_header_conformance", NAMED)
    ),
}


@pytest.fixture(params=["not started", "started"])
def home(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[House]:
    """A house before its start, and one with some days behind it."""
    house = House(tmp_path)
    if request.param == "started":
        house.start()
        house.live(5)
        house.http.post("/api/areas/set-up", json={"rooms": ["Kitchen", "Bath", "Bedroom"]})
    yield house
    house.close()


def _failures(scenario: events.ScenarioFinished) -> Iterator[str]:
    recorder = scenario.recorder
    for case, checks in recorder.checks.items():
        for check in checks:
            if check.failure_info is not None:
                operation = recorder.cases[case].value.operation.label
                yield f"{check.name} {operation}: {check.failure_info.failure}"


@pytest.mark.filterwarnings("ignore::Warning")
def test_nothing_fails_and_every_answer_is_as_described_in_every_phase(home: House) -> None:
    config = schemathesis.Config.from_dict(CONFIG)
    interface = schemathesis.openapi.from_asgi("/openapi.json", home.app, config=config, headers=HOST)
    failures: list[str] = []
    phases: dict[str, int] = {}
    for event in from_schema(interface).execute():
        assert not isinstance(event, events.NonFatalError | events.FatalError), event
        if isinstance(event, events.ScenarioFinished):
            failures += _failures(event)
            phases[event.phase.name] = phases.get(event.phase.name, 0) + len(event.recorder.cases)
    assert not failures, "\n".join(failures)
    assert all(phases[name] > 50 for name in ("EXAMPLES", "COVERAGE", "FUZZING", "STATEFUL_TESTING")), phases
