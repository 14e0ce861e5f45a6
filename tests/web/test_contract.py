"""The JSON interface keeps to its description in every phase and by every check that schemathesis has."""

from __future__ import annotations

from collections import Counter
from itertools import count
from typing import TYPE_CHECKING, Any

import pytest
import schemathesis
from schemathesis.engine import events, from_schema

from coach.web.api import repeating
from web.house import ADDRESS, House

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

# What a packed course holds is bytes; it knows how to send every other kind by itself.
schemathesis.serializer.alias("application/zip", "application/octet-stream")

MOST = 3
"""Examples an operation, beside those of the coverage phase, which are as many as its schema has edges."""

WORDS = {
    "POST /api/pair": "a code that lets somebody in",
    "POST /api/enrol": "the same, and a step, a zone and a pace that there are",
    "POST /api/passkeys": "what a device has signed",
    "POST /api/sign-in": "the same",
    "POST /api/sign-in/recovery": "a code of a sheet",
    "PATCH /api/passkeys/{passkey}": "a name in which something can be seen",
    "POST /api/invitations": "at home one is for one member",
    "POST /api/tokens": "somebody who lives here, and a date within the year",
    "POST /api/feeds": "a name in which something can be seen",
    "PATCH /api/feeds/{feed}": "the same",
    "PUT /api/jobs/{step}/lines": "a line that is named is one of the job's",
    "POST /api/areas/proposal": "no more areas than its rooms make",
    "DELETE /api/areas/{area}": "the last area stays",
    "POST /api/areas": "a name that another area has, and rooms of a kind that is known",
    "POST /api/areas/set-up": "rooms of a kind that is known",
    "POST /api/areas/{area}/rooms": "the same",
    "PUT /api/areas/{area}/sort-first": "an area without declutter tasks has nothing to sort out",
    "POST /api/rotation/give": "only by need is a week given",
    "POST /api/areas/{area}/split": "the rooms and tasks have to be the area's",
    "GET /api/load": "a week 53 that its year does not have",
    "PUT /api/shopping/lines/{line}": "one line, and something that can be seen",
    "PUT /api/dinners/{date}": "a weight with its unit, and less than there can be",
    "POST /api/favourites": "the same",
    "PUT /api/favourites/{favourite}": "the same",
    "POST /api/dues": "a rule of RFC 5545 that comes at least once, between the years 1900 and 2200",
    "PUT /api/dues/{due}": "the same",
    "PUT /api/to-dos/{todo}/picked": "what is not put off cannot be picked",
    "POST /api/quick": "a due has a date, and an errand a place",
    "GET /api/handover": "dates from today on, the second not before the first",
    "POST /api/handover/pages": "quotes in one another that can be shown, and something that can be seen",
    "PUT /api/handover/pages/{page}": "the same",
    "PUT /api/handover/order": "pages that there are, each once",
    "PUT /api/sharing": "a household that is in a group, and a date within half a year",
    "POST /api/questions": "the same, and a text that says something",
    "POST /api/courses": "a packed course is a file of its own kind, and its coach brings it",
    "POST /api/log.csv": "a log has a grammar of its own",
    "POST /api/pause": "an end after its beginning",
    "POST /api/rotation/declutter": "no more weeks than there can be",
    "POST /api/rotation/swap": "two weeks from this one on that are not the same",
    "POST /api/start": "a step, a zone and a pace that there are",
    "PUT /api/pace": "a pace that there is",
    "POST /api/steps": "a rule of RFC 5545, ids and cautions that there are, no more kept than outcomes",
    "PATCH /api/steps/{step}": "the same",
    "POST /api/sheet/{week}/marks": "dates of that week",
}
"""Operations that refuse what their schema lets through, and what it is that no schema can say.

Each of them has failed without standing here, with this seed or another.
"""

NAMED = {
    "POST /api/areas/proposal": "an area may have the name “Proposal”, and is asked for there",
    "POST /api/areas/set-up": "an area may have the name “Set-up”",
    "POST /api/areas/undo": "an area may have the name “Undo”",
    "POST /api/passkeys/begin": "a passkey may have the id “begin”",
    "POST /api/week/undo": "a GET there is answered as for every week that is none",
}
"""Addresses that are those of another operation too, whose methods are answered and named in `Allow`."""


HOSTED = {
    "POST /api/courses": "a coach brings it",
    "POST /api/groups": "a coach makes it",
    "PUT /api/homes": "where one household lives there is none to choose",
}
"""Addresses at which there is nothing at all for this household, whatever the method."""


def _exempt(check: str, operations: dict[str, str]) -> list[dict[str, Any]]:
    return [{"include-name": name, "checks": {check: {"enabled": False}}} for name in operations]


def _merged(*lists: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """One entry an operation, since the first that fits is the one that counts."""
    found: dict[str, dict[str, Any]] = {}
    for one in (one for each in lists for one in each):
        found.setdefault(one["include-name"], {}).update(one["checks"])
    return [{"include-name": name, "checks": checks} for name, checks in found.items()]


PHASES = ("examples", "coverage", "fuzzing", "stateful")
PHASES_OF = {name.upper(): name for name in PHASES} | {"STATEFUL_TESTING": "stateful"}
REFUSED = ["400", "403", "404", "405", "409", "412", "415", "422"]
# By itself it takes a 412 for an acceptance, and for no answer to a request that is right: RFC 9110 §13.1.1
# lets a condition fail whatever else is sent.
ANSWERS = {
    "negative_data_rejection": {"expected-statuses": REFUSED},
    "positive_data_acceptance": {"expected-statuses": ["2xx", "404", "409", "412"]},
}
HOST = {"host": ADDRESS.removeprefix("http://")}
CONFIG: dict[str, Any] = {
    "seed": 1,
    # What failed once would else be kept in the folder of the tests, and asked again first.
    "cache": {"enabled": False},
    "headers": HOST,
    "checks": ANSWERS,
    "generation": {"max-examples": MOST, "deterministic": True, "database": "none"},
    "operations": _merged(
        _exempt("positive_data_acceptance", WORDS),
        _exempt("allow_header_conformance", NAMED),
        _exempt("unsupported_method", NAMED | HOSTED),
    ),
}


@pytest.fixture(autouse=True)
def _own_ids(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each id that is sent becomes one of its own, since no schema says that another one had it."""
    given, number = repeating.id_of, count()
    monkeypatch.setattr(repeating, "id_of", lambda *of: None if given(*of) is None else f"own-{next(number)}")


@pytest.fixture
def home(tmp_path: Path) -> Iterator[House]:
    house = House(tmp_path)
    yield house
    house.close()


def _failures(scenario: events.ScenarioFinished) -> Iterator[str]:
    recorder = scenario.recorder
    for case, checks in recorder.checks.items():
        for check in checks:
            if check.failure_info is not None:
                operation = recorder.cases[case].value.operation.label
                yield f"{check.name} {operation}: {check.failure_info.failure}"


def _asked(home: House, *phases: str) -> None:
    """Ask everything in these phases; nothing may fail, and no phase may have asked next to nothing."""
    chosen = {phase: {"enabled": phase in phases} for phase in PHASES}
    config = schemathesis.Config.from_dict(CONFIG | {"phases": chosen})
    interface = schemathesis.openapi.from_asgi("/openapi.json", home.app, config=config, headers=HOST)
    failures: list[str] = []
    cases = Counter[str]()
    for event in from_schema(interface).execute():
        assert not isinstance(event, events.NonFatalError | events.FatalError), event
        if isinstance(event, events.ScenarioFinished):
            failures += _failures(event)
            cases[PHASES_OF[event.phase.name]] += len(event.recorder.cases)
    assert not failures, "\n".join(failures)
    assert all(cases[phase] > 15 for phase in phases), cases


@pytest.mark.filterwarnings("ignore::Warning")
def test_everything_is_as_described_once_a_household_has_begun(home: House) -> None:
    home.start()
    home.live(5)
    home.http.post("/api/areas/set-up", json={"rooms": ["Kitchen", "Bath", "Bedroom"]})
    _asked(home, *PHASES)


@pytest.mark.filterwarnings("ignore::Warning")
def test_everything_is_as_described_before_the_start(home: House) -> None:
    # The edges of every schema are looked at above; here nearly all of them have one answer, 409.
    _asked(home, "examples", "fuzzing", "stateful")
