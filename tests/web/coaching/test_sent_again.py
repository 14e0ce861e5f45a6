"""What writes about groups does once what is asked under one id, and answers as the first time."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from web.coaching.valley import ANA, HOUSEHOLD, Valley

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

PLACE = "/api/groups/spring"
ASKED: dict[str, tuple[str, dict[str, Any]]] = {
    "POST /api/groups": (ANA, {"name": "Summer", "course": "three-weeks", "first_day": "2027-02-01"}),
    f"PATCH {PLACE}": (ANA, {"name": "Late spring"}),
    f"PATCH {PLACE}/questions/{{first}}": (ANA, {"apart": True}),
    f"PATCH {PLACE}/questions/{{third}}": (ANA, {"together": "{first}"}),
    f"POST {PLACE}/answers": (ANA, {"questions": ["{first}"], "text": "So."}),
    f"PUT {PLACE}/answers/{{answer}}": (ANA, {"text": "So, then."}),
    f"PUT {PLACE}/notes/{{on}}": (ANA, {"text": "Close them."}),
    f"DELETE {PLACE}/notes/{{on}}": (ANA, {}),
    "POST /api/questions": (HOUSEHOLD, {"text": "And now?", "step": "bed-made", "lesson": 1}),
    "PUT /api/notes/{on}/away": (HOUSEHOLD, {}),
}


@pytest.fixture(scope="module")
def valley(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Valley]:
    folder: Path = tmp_path_factory.mktemp("again")
    house = Valley(folder)
    house.furnish()
    yield house
    house.close()


def _kept(valley: Valley) -> object:
    """All that is kept of groups, and the household's version."""
    with valley.store.coaching_reading() as reading:
        group = valley.group_made.id
        found = reading.questions(group), reading.answers(group), reading.notes(group), reading.groups(ANA)
    return found, valley.store.version(HOUSEHOLD)


def _parts(valley: Valley) -> dict[str, str]:
    with valley.store.coaching_reading() as reading:
        asked = [one.id for one in reading.questions("spring") if not one.answer]
        answer = reading.answers("spring")[0].id
    return {"first": asked[0], "third": asked[-1], "answer": answer, "on": str(valley.today)}


def _send(valley: Valley, name: str, request_id: str, parts: dict[str, str], **more: Any) -> Any:  # noqa: ANN401  any
    method, address = name.format_map(parts).split(" ")
    caller, said = ASKED[name]
    body = {
        key: [one.format_map(parts) for one in value] if isinstance(value, list)
        else value.format_map(parts) if isinstance(value, str) else value
        for key, value in said.items()
    } | more  # fmt: skip
    with valley.asked_by(caller):
        if method == "DELETE":
            return valley.http.delete(f"{address}?request_id={request_id}" + "&other=1" * bool(more))
        return valley.http.request(method, address, json=body | {"request_id": request_id})


@pytest.mark.parametrize("name", ASKED)
def test_it_is_done_once_and_answered_the_same(valley: Valley, name: str) -> None:
    parts, request_id = _parts(valley), name.replace(" ", "-").replace("/", "-")[:90].strip("{}")
    first = _send(valley, name, request_id, parts)
    held = _kept(valley)
    again = _send(valley, name, request_id, parts)
    assert first.status_code in {200, 201}, first.text
    assert (again.status_code, again.content) == (first.status_code, first.content)
    assert _kept(valley) == held


def test_another_request_under_the_same_id_is_refused(valley: Valley) -> None:
    parts = _parts(valley)
    for text, status in (("Why so?", 201), ("Why not?", 422)):
        answer = _send(valley, "POST /api/questions", "same", parts, text=text)
        assert answer.status_code == status
    assert answer.json()["type"] == "/problems/asked-otherwise"
