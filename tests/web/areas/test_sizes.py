"""What holds more than a home can is refused before any work is done on it."""

from __future__ import annotations

import json
from time import process_time
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from web.house import House

MEBIBYTE = 1024 * 1024
SECONDS = 0.2
"""Of processor time, for a refusal; to divide a home by so many rooms took nine seconds."""

MANY = [f"r{number}" for number in range(6_000)]


def refused(house: House, method: str, path: str, body: Any) -> tuple[str, float]:  # noqa: ANN401
    """The sentence that refuses a body, and the processor time it took; the least of some tries."""
    content, times, sentence = json.dumps(body), [], ""
    for _ in range(3):
        begun = process_time()
        answer = house.http.request(
            method, path, content=content, headers={"content-type": "application/json"}
        )
        times.append(process_time() - begun)
        assert answer.status_code == 422
        sentence = answer.json()["detail"]
    return sentence, min(times)


@pytest.mark.parametrize(
    ("method", "path", "body", "said"),
    [
        ("POST", "/api/areas/proposal", {"rooms": MANY}, "These are 6,000 rooms. Name at most 60 at first"),
        ("POST", "/api/areas/set-up", {"rooms": MANY}, "These are 6,000 rooms. Name at most 60 at first"),
        ("PUT", "/api/areas", {"areas": [{"name": "A", "rooms": MANY}]}, "Name at most 40."),
        (
            "PUT",
            "/api/areas",
            {"areas": [{"name": "A", "rooms": ["a"] * (MEBIBYTE // 6)}]},
            "Name at most 40.",
        ),
        ("PUT", "/api/areas", {"areas": [1] * (MEBIBYTE // 4)}, "Name at most 100."),
        ("PUT", "/api/areas", {"areas": [{"name": "A", "detail": [{}] * (MEBIBYTE // 5)}]}, "at most 200."),
    ],
)
def test_too_many_are_refused_at_once(house: House, method: str, path: str, body: Any, said: str) -> None:  # noqa: ANN401
    sentence, seconds = refused(house, method, path, body)
    assert said in sentence
    assert seconds < SECONDS


def test_a_division_is_proposed_for_as_many_rooms_as_can_be_named(house: House) -> None:
    answer = house.http.post("/api/areas/proposal", json={"rooms": MANY[:60]})
    assert answer.status_code == 200
    assert len(answer.json()["rooms"]) == 60


def test_the_page_says_the_number_and_keeps_what_was_typed(house: House) -> None:
    answer = house.http.post("/areas/proposal", data={"more": "\n".join(MANY)})
    assert answer.status_code == 422
    assert "These are 6,000 rooms. Name at most 60 at first and add others later." in answer.text
    assert "r5999" in answer.text


def test_an_areas_rooms_are_counted_before_their_kinds_are_looked_for(house: House) -> None:
    assert house.http.post("/api/areas/set-up", json={"rooms": ["Hall"]}).status_code == 201
    sentence, seconds = refused(house, "POST", "/api/areas", {"name": "Attic", "rooms": MANY})
    assert sentence.startswith("These are 6,000 rooms. At most 40 belong to one area.")
    assert seconds < SECONDS


def test_a_room_with_an_endless_name_is_refused_without_looking_for_its_kind(house: House) -> None:
    sentence, seconds = refused(house, "POST", "/api/areas/proposal", {"rooms": ["guest room " * 5_000]})
    assert "Keep it to 80." in sentence
    assert seconds < SECONDS


def test_of_many_values_that_cannot_be_read_fifty_are_named(house: House) -> None:
    answer = house.http.post("/api/areas/proposal", json={"rooms": [1] * 10_000})
    found = answer.json()
    assert (answer.status_code, len(found["errors"]), found["more"]) == (422, 50, 9_950)
    assert found["detail"].endswith("; and 9950 more")
    assert len(answer.content) < 10_000


def test_of_many_areas_with_faults_fifty_are_named(house: House) -> None:
    areas = [{"name": f"Area {number}", "rooms": ["x" * 100] * 40} for number in range(12)]
    sentence = house.http.put("/api/areas", json={"areas": areas}).json()["detail"]
    assert sentence.endswith("And 430 more.")
    assert sentence.count("Keep it to 80.") == 50
