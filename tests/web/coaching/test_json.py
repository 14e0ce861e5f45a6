"""Groups, questions, answers and notes as JSON: what pages do, programs can do too."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from web.coaching.valley import ANA, BEN, HOUSEHOLD, Valley

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

GROUP = {"name": "Summer", "course": "three-weeks", "first_day": "2027-02-01"}
WHY = {"text": "Why?", "step": "bed-made", "lesson": 1}


@pytest.fixture
def valley(tmp_path: Path) -> Iterator[Valley]:
    house = Valley(tmp_path)
    house.joins("by name", house.today)
    yield house
    house.close()


def asks(valley: Valley, caller: str, method: str, path: str, body: object = None, status: int = 200) -> Any:  # noqa: ANN401  any JSON
    with valley.asked_by(caller):
        answer = valley.http.request(method, f"/api{path}", json=body)
    assert answer.status_code == status, answer.text
    return answer.json()


def test_a_group_is_made_found_and_renamed(valley: Valley) -> None:
    made = asks(valley, BEN, "POST", "/groups", GROUP, 201)
    assert made == GROUP | {
        "group": made["group"], "title": "Seven small habits", "language": "en-GB",
    }  # fmt: skip
    place = f"/groups/{made['group']}"
    assert asks(valley, BEN, "GET", place) == made
    renamed = asks(valley, BEN, "PATCH", place, {"name": "Late summer"})
    assert asks(valley, BEN, "GET", "/groups") == {"groups": [renamed]}
    assert renamed == made | {"name": "Late summer"}


def test_a_request_that_is_sent_again_makes_one_group_and_one_question(valley: Valley) -> None:
    named = GROUP | {"request_id": "r"}
    first = asks(valley, BEN, "POST", "/groups", named, 201)
    assert asks(valley, BEN, "POST", "/groups", named, 201) == first
    assert len(asks(valley, BEN, "GET", "/groups")["groups"]) == 1
    otherwise = asks(valley, BEN, "POST", "/groups", named | {"name": "Another"}, 422)
    assert otherwise["type"] == "/problems/asked-otherwise"
    for _ in range(2):
        found = asks(valley, HOUSEHOLD, "POST", "/questions", WHY | {"request_id": "q"}, 201)
    assert [one["text"] for one in found["questions"]] == ["Why?"]


def test_two_coaches_may_call_their_requests_the_same(valley: Valley) -> None:
    named = GROUP | {"request_id": "r"}
    ana, ben = (asks(valley, coach, "POST", "/groups", named, 201) for coach in (ANA, BEN))
    assert ana["group"] != ben["group"]


def test_a_question_goes_to_the_coach_and_its_answer_back(valley: Valley) -> None:
    asked = asks(valley, HOUSEHOLD, "POST", "/questions", WHY, 201)["questions"][0]
    assert (asked["title"], asked["with_name"], asked["answer"]) == ("Make the bed", False, None)
    place = f"/groups/{valley.group_made.id}"
    [step] = asks(valley, ANA, "GET", f"{place}/questions")["waiting"]
    [waits] = step["piles"][0]["questions"]
    assert (step["step"], waits["text"], waits["name"]) == ("bed-made", "Why?", "")
    body = {"questions": [waits["question"]], "text": "So.", "for_all": True, "question": "Why, then?"}
    given = asks(valley, ANA, "POST", f"{place}/answers", body, 201)
    assert (given["asked"], given["for_all"]) == (1, True)
    assert asks(valley, ANA, "POST", f"{place}/answers", body, 409)["type"] == "/problems/not-editable"
    asks(valley, ANA, "PUT", f"{place}/answers/{given['answer']}", {"text": "So, then."})
    found = asks(valley, HOUSEHOLD, "GET", "/questions")
    assert found["questions"][0]["answer"] == "So, then."
    assert found["answers"] == []


def test_a_question_is_put_apart_and_together(valley: Valley) -> None:
    for text in ("How does one air the bunk bed?", "The bunk bed: air it how?"):
        asks(valley, HOUSEHOLD, "POST", "/questions", WHY | {"text": text}, 201)
    place = f"/groups/{valley.group_made.id}/questions"
    [pile] = asks(valley, ANA, "GET", place)["waiting"][0]["piles"]
    first, second = (one["question"] for one in pile["questions"])
    apart = asks(valley, ANA, "PATCH", f"{place}/{second}", {"apart": True})
    assert len(apart["waiting"][0]["piles"]) == 2
    together = asks(valley, ANA, "PATCH", f"{place}/{second}", {"together": first})
    assert len(together["waiting"][0]["piles"]) == 1
    for body in ({}, {"apart": True, "together": first}):
        asks(valley, ANA, "PATCH", f"{place}/{second}", body, 422)


def test_a_note_is_said_put_away_and_taken_off(valley: Valley) -> None:
    place, on = f"/groups/{valley.group_made.id}/notes", str(valley.today)
    assert asks(valley, ANA, "PUT", f"{place}/{on}", {"text": "Air."}) == {"on": on, "text": "Air."}
    assert asks(valley, HOUSEHOLD, "GET", "/questions")["note"] == {"on": on, "text": "Air."}
    assert asks(valley, HOUSEHOLD, "PUT", f"/notes/{on}/away")["note"] is None
    assert asks(valley, ANA, "GET", place)["notes"] == [{"on": on, "text": "Air."}]
    assert asks(valley, ANA, "DELETE", f"{place}/{on}") == {"notes": []}


def test_by_name_a_household_is_told_of_and_nobody_else(valley: Valley) -> None:
    place = f"/groups/{valley.group_made.id}/households"
    found = asks(valley, ANA, "GET", place)
    assert (found["used"], "counted" in found) == (1, False)
    assert found["households"][0]["name"] == "Tern Street"
    assert asks(valley, ANA, "GET", f"{place}/home")["questions"] == []
    valley.joins()
    assert asks(valley, ANA, "GET", place)["households"] == []
    asks(valley, ANA, "GET", f"{place}/home", status=404)


@pytest.mark.parametrize("caller", [BEN, HOUSEHOLD], ids=["another coach", "a household"])
def test_nobody_else_finds_or_changes_anything(valley: Valley, caller: str) -> None:
    asks(valley, HOUSEHOLD, "POST", "/questions", WHY, 201)
    [step] = asks(valley, ANA, "GET", f"/groups/{valley.group_made.id}/questions")["waiting"]
    question = step["piles"][0]["questions"][0]["question"]
    place = f"/groups/{valley.group_made.id}"
    for method, path, body in (
        ("GET", "", None),
        ("PATCH", "", {"name": "Mine"}),
        ("GET", "/households", None),
        ("GET", "/households/home", None),
        ("GET", "/questions", None),
        ("PATCH", f"/questions/{question}", {"apart": True}),
        ("POST", "/answers", {"questions": [question], "text": "So."}),
        ("PUT", "/answers/a", {"text": "So."}),
        ("GET", "/notes", None),
        ("PUT", f"/notes/{valley.today}", {"text": "So."}),
        ("DELETE", f"/notes/{valley.today}", None),
    ):
        told = asks(valley, caller, method, place + path, body, 404)
        nowhere = asks(valley, caller, method, f"/groups/nowhere{path}", body, 404)
        assert told == nowhere


def test_what_is_wrong_with_a_group_or_an_answer_is_said_in_words(valley: Valley) -> None:
    wrong = asks(valley, BEN, "POST", "/groups", GROUP | {"language": "???"}, 422)
    assert wrong["detail"] == "body/language: Write a language as BCP 47 does, such as en-GB."
    place = f"/groups/{valley.group_made.id}/answers"
    wrong = asks(valley, ANA, "POST", place, {"questions": [], "text": "So."}, 422)
    assert wrong["detail"] == "body/questions: Name at least 1."
