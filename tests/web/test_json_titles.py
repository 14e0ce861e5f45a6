"""A title in JSON is one title: kept as it is, and never taken apart as a pasted text is."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from web.kitchen.full_week import ask

if TYPE_CHECKING:
    from web.house import House

BROKEN = "one\ntwo"
REASON = "This has a line break in it. Write it on one line."


def test_a_title_is_kept_with_what_looks_like_a_list_sign(house: House) -> None:
    titles = ["- 5 C below", "* a star", "  Mend the tap  "]
    found = ask(house, "POST", "/api/to-dos", {"titles": titles})
    assert [todo["title"] for todo in found["open"]] == ["- 5 C below", "* a star", "Mend the tap"]


def test_what_was_said_back_is_kept_as_it_was_said(house: House) -> None:
    saved = ask(house, "POST", "/api/quick", {"kind": "to-do", "title": "- 5 C below"})
    assert [todo["title"] for todo in ask(house, "GET", "/api/to-dos")["open"]] == [saved["title"]]


def test_the_same_pasted_into_the_form_is_a_list(house: House) -> None:
    house.http.post("/desk/to-dos", data={"lines": "- 5 C below\n\n* Mend the tap", "kind": "open"})
    titles = [todo["title"] for todo in ask(house, "GET", "/api/to-dos")["open"]]
    assert titles == ["5 C below", "Mend the tap"]


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r", "\v", "\f", "\x85", "\u2028", "\u2029"])
def test_a_line_break_in_a_title_is_refused(house: House, end: str) -> None:
    answer = house.http.post("/api/to-dos", json={"titles": ["- 5 C below", f"one{end}two"]})
    assert answer.status_code == 422
    assert answer.json()["errors"] == [{"where": "body/titles/1", "reason": REASON}]
    assert ask(house, "GET", "/api/to-dos")["open"] == []


@pytest.mark.parametrize(
    ("method", "path", "body"),
    [
        ("PUT", "/api/dinners/2027-01-05", {"dish": "Soup", "ingredients": ["1 leek", BROKEN]}),
        ("POST", "/api/favourites", {"dish": "Soup", "ingredients": ["1 leek", BROKEN]}),
        ("POST", "/api/quick", {"kind": "to-do", "title": BROKEN}),
        ("PATCH", "/api/to-dos/20270104-0001", {"title": BROKEN}),
    ],
)
def test_a_line_break_is_refused_elsewhere_too(
    house: House, method: str, path: str, body: dict[str, Any]
) -> None:
    ask(house, "POST", "/api/to-dos", {"titles": ["Mend the tap"]})
    answer = house.http.request(method, path, json=body)
    assert answer.status_code == 422
    assert REASON in answer.json()["detail"]


def test_an_ingredient_keeps_what_looks_like_a_list_sign(house: House) -> None:
    body = {"dish": "Ice", "ingredients": ["- 5 C water", "salt"]}
    found = ask(house, "PUT", "/api/dinners/2027-01-05", body)
    assert found["dinner"]["ingredients"] == ["- 5 C water", "salt"]


def test_a_blank_title_among_others_is_refused_and_nothing_is_written(house: House) -> None:
    answer = house.http.post("/api/to-dos", json={"titles": ["Mend the tap", " \u200b"]})
    assert answer.status_code == 422
    assert "Title 2 says nothing." in answer.json()["detail"]
    assert ask(house, "GET", "/api/to-dos")["open"] == []
