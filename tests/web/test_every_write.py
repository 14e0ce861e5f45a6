"""Every JSON operation that writes holds a late program back, or has a reason not to."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from web.kitchen.full_week import ask
from web.week.house import grown

if TYPE_CHECKING:
    from web.house import House

ADDS = "it adds, and undoes nothing"
VALUE = "it sets one value that it names, whatever stood there"
NOTHING = "it writes nothing"
ONE_COACH = "nobody but the group's coach changes it, and it is said whole"
ENDS = "what ends is not to wait for anything, and stays ended"

WITHOUT = {
    "POST /api/start": "there is nothing before it",
    "POST /api/areas/set-up": "there is nothing before it",
    "POST /api/log.csv": "it takes the place of everything, as it says",
    "POST /api/pause": "the dates away are one thing, said whole",
    "POST /api/resume": "it ends what is going on",
    "POST /api/steps": ADDS,
    "POST /api/favourites": ADDS,
    "POST /api/dues": ADDS,
    "POST /api/to-dos": ADDS,
    "POST /api/shopping/lines": ADDS,
    "POST /api/quick": ADDS,
    "POST /api/areas": ADDS,
    "POST /api/areas/{area}/tasks": ADDS,
    "POST /api/handover/pages": ADDS,
    "POST /api/areas/proposal": NOTHING,
    "POST /api/days/{date}/marks": VALUE,
    "POST /api/sheet/{week}/marks": VALUE,
    "POST /api/today/few": "it leaves marks alone that are there",
    "DELETE /api/today/few": "it takes back what it made, and nothing else",
    "PUT /api/days/{date}/marks/{step}": VALUE,
    "DELETE /api/days/{date}/marks/{step}": VALUE,
    "PUT /api/days/{date}/taken/{step}": VALUE,
    "DELETE /api/days/{date}/taken/{step}": VALUE,
    "PUT /api/days/{date}/tasks/{task}": VALUE,
    "DELETE /api/days/{date}/tasks/{task}": VALUE,
    "PUT /api/homes": VALUE,
    "PUT /api/jobs/{step}/ticks/{line}": VALUE,
    "DELETE /api/jobs/{step}/ticks/{line}": VALUE,
    "PUT /api/jobs/{step}/timer": VALUE,
    "DELETE /api/jobs/{step}/timer": VALUE,
    "PUT /api/dinners/{date}/frozen/{number}": VALUE,
    "PUT /api/dues/{due}/seen-to/{date}": VALUE,
    "DELETE /api/dues/{due}/seen-to/{date}": VALUE,
    "PUT /api/to-dos/{todo}/done": VALUE,
    "DELETE /api/to-dos/{todo}/done": VALUE,
    "PUT /api/to-dos/{todo}/picked": VALUE,
    "POST /api/groups": ADDS,
    "PATCH /api/groups/{group}": VALUE,
    "PATCH /api/groups/{group}/questions/{question}": VALUE,
    "POST /api/groups/{group}/answers": "what was answered meanwhile is refused",
    "PUT /api/groups/{group}/answers/{answer_id}": ONE_COACH,
    "PUT /api/groups/{group}/notes/{date}": ONE_COACH,
    "DELETE /api/groups/{group}/notes/{date}": ENDS,
    "POST /api/questions": ADDS,
    "PUT /api/notes/{date}/away": VALUE,
    "PUT /api/sharing": "what is shared can always be lowered, and each choice is dated and kept",
    "DELETE /api/sharing": ENDS,
    "POST /api/pairing": ADDS,
    "POST /api/pair": ADDS,
    "POST /api/invitations": ADDS,
    "POST /api/enrol": ADDS,
    "POST /api/tokens": ADDS,
    "POST /api/feeds": ADDS,
    "POST /api/feeds/{feed}/secret": ADDS,
    "PATCH /api/feeds/{feed}": VALUE,
    "DELETE /api/feeds/{feed}": ENDS,
    "POST /api/sign-out": ENDS,
    "PUT /api/reminder": "nobody but the one whose it is changes it, and it is said whole",
    "DELETE /api/reminder": ENDS,
    "DELETE /api/devices/{device}": ENDS,
    "DELETE /api/tokens/{token}": ENDS,
    "PATCH /api/people/{person}": VALUE,
    "DELETE /api/people/{person}": ENDS,
    "POST /api/passkeys/begin": NOTHING,
    "POST /api/passkeys": ADDS,
    "PATCH /api/passkeys/{passkey}": VALUE,
    "DELETE /api/passkeys/{passkey}": ENDS,
    "POST /api/sign-in/begin": NOTHING,
    "POST /api/sign-in": ADDS,
    "POST /api/sign-in/recovery": ADDS,
    "POST /api/recovery": "a new sheet is to end the one before, whatever that was",
    "POST /api/courses": ADDS,
    "POST /api/groups/{group}/versions": VALUE,
    "DELETE /api/groups/{group}/versions/{since}": ENDS,
}
"""Operations that take no `If-Match`, and why."""

HANDED = {"title": "Bins", "markdown": "Tuesday", "whom": ["sitter"]}
BODIES: dict[str, Any] = {
    "POST /api/balance": {"week": "2027-W05", "moves": {"out-and-back": "2027-02-03"}},
    "PUT /api/available": {"minutes": {"MO": 40}},
    "PUT /api/pace": {"pace": "gentle"},
    "POST /api/rotation/skip": {"week": "2027-02-01"},
    "POST /api/rotation/swap": {"week": "2027-02-01", "other": "2027-02-08"},
    "POST /api/rotation/declutter": {"weeks": 2},
    "POST /api/rotation/give": {"area": "bath"},
    "PATCH /api/steps/{step}": {"minutes": 4},
    "POST /api/jobs/{step}/move": {"on": "2027-02-06", "to": "2027-02-03"},
    "PUT /api/jobs/{step}/lines": {"lines": [{"title": "Dust", "minutes": 5}]},
    "PUT /api/sheet/choices": {"paper": "letter"},
    "PUT /api/dinners/{date}": {"dish": "Pie"},
    "PUT /api/favourites/{favourite}": {"dish": "Thick"},
    "PUT /api/shopping": {"key": "eggs", "tick": "at-home"},
    "PUT /api/shopping/lines/{line}": {"text": "2 bulbs"},
    "PUT /api/dues/{due}": {"name": "Rent", "on": "2027-02-07"},
    "PATCH /api/to-dos/{todo}": {"title": "Paint the gate"},
    "PUT /api/areas": {"areas": [{"name": "Whole home", "rooms": ["Hall"]}]},
    "PATCH /api/areas": {"minutes_a_week": 45},
    "PATCH /api/areas/{area}": {"name": "Galley"},
    "PUT /api/areas/{area}/sort-first": {"first": True},
    "POST /api/areas/{area}/merge": {"other": "bath"},
    "POST /api/areas/{area}/split": {"name": "Half", "rooms": [], "tasks": []},
    "POST /api/areas/{area}/rooms": {"room": "Larder"},
    "PATCH /api/tasks/{task}": {"minutes": 9},
    "PUT /api/handover/order": {"order": ["20270130-0001"]},
    "PUT /api/handover/pages/{page}": {"title": "Bins", "markdown": "Monday", "whom": ["guest"]},
}


def _writes(house: House) -> dict[str, dict[str, Any]]:
    """Operations that may write, by method and address."""
    paths = house.http.get("/openapi.json").json()["paths"]
    return {
        f"{method.upper()} {path}": operation
        for path, operations in paths.items()
        for method, operation in operations.items()
        if method not in {"get", "head"}
    }


def _takes(operation: dict[str, Any]) -> bool:
    return any(one["name"].lower() == "if-match" for one in operation.get("parameters", ()))


def test_every_write_takes_if_match_or_is_listed_with_its_reason(empty: House) -> None:
    assert sorted(name for name, one in _writes(empty).items() if not _takes(one)) == sorted(WITHOUT)


def test_who_takes_if_match_says_that_it_can_fail(empty: House) -> None:
    said = {name: "412" in one["responses"] for name, one in _writes(empty).items()}
    assert said == {name: name not in WITHOUT for name in said}


@pytest.fixture
def parts(empty: House) -> dict[str, str]:
    """A house with something at every address, and what the parts of the addresses are there."""
    grown(empty)
    ask(empty, "POST", "/api/areas/set-up", {"rooms": ["Kitchen", "Bath", "Bedroom"]})
    ask(empty, "POST", "/api/favourites", {"dish": "Pancakes"})
    ask(empty, "POST", "/api/dues", {"name": "Rent", "on": "2027-02-05"})
    ask(empty, "POST", "/api/to-dos", {"titles": ["Mend the gate"]})
    shopping = ask(empty, "POST", "/api/shopping/lines", {"lines": ["bulbs"]})
    area = ask(empty, "GET", "/api/areas")["areas"][0]
    return {
        "step": "out-and-back",
        "date": "2027-02-02",
        "favourite": "pancakes",
        "due": ask(empty, "GET", "/api/dues")["dues"][0]["id"],
        "line": shopping["to_buy"][0]["written"][0]["id"],
        "todo": ask(empty, "GET", "/api/to-dos")["open"][0]["id"],
        "area": area["area"],
        "task": area["detail"][0]["task"],
        "page": ask(empty, "POST", "/api/handover/pages", HANDED)["page"],
    }


def test_a_tag_of_something_else_writes_nothing_anywhere(empty: House, parts: dict[str, str]) -> None:
    version = empty.app.state.context.store.version("home").version
    answers = {}
    for name in (one for one, said in _writes(empty).items() if _takes(said)):
        method, address = name.format(**parts).split(" ")
        query = "?room=Kitchen" if name == "DELETE /api/areas/{area}/rooms" else ""
        headers = {"if-match": '"something-else"'}
        answer = empty.http.request(method, address + query, json=BODIES.get(name), headers=headers)
        answers[name] = answer.status_code
    assert answers == dict.fromkeys(answers, 412)
    assert len(answers) > 25
    assert empty.app.state.context.store.version("home").version == version
