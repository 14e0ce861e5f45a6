"""Every error is problem+json (RFC 9457) for programs and a plain page for people."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest
from starlette.testclient import TestClient

from coach.errors import StoreError
from web.house import ADDRESS
from web.markup import read

if TYPE_CHECKING:
    from collections.abc import Iterator
    from contextlib import AbstractContextManager

    from web.house import House

PROBLEM = "application/problem+json"
MEMBERS = {"type", "title", "status", "detail"}


@pytest.mark.parametrize(
    ("method", "path", "status"),
    [
        ("GET", "/api/moon", 404),
        ("POST", "/api/today", 405),
        ("GET", "/api/days/yesterday", 422),
        ("GET", "/api/days/2001-01-01", 404),
        ("POST", "/api/steps", 422),
        ("DELETE", "/healthz", 405),
    ],
)
def test_a_programs_error_is_a_problem_document(house: House, method: str, path: str, status: int) -> None:
    answer = house.http.request(method, path)
    assert (answer.status_code, answer.headers["content-type"]) == (status, PROBLEM)
    assert set(answer.json()) >= MEMBERS
    assert answer.json()["status"] == status


def test_a_wrong_method_says_which_are_right(house: House) -> None:
    assert "GET" in house.http.post("/api/today").headers["allow"]


def test_a_validation_error_names_the_place_and_never_repeats_the_value(house: House) -> None:
    answer = house.http.post("/api/pause", json={"from": "hunter2"})
    assert answer.json()["errors"][0]["where"] == "body/from"
    assert "hunter2" not in answer.text


@pytest.mark.parametrize(
    ("method", "path", "body", "errors"),
    [
        ("POST", "/api/steps", {}, {"body/step/title": "This is missing."}),
        ("POST", "/api/steps", {"title": ""}, {"body/step/title": "This cannot be empty."}),
        ("POST", "/api/steps", {"title": "X", "minutes": -1}, {"body/step/minutes": "Choose 0 or more."}),
        (
            "POST",
            "/api/steps",
            {"title": "X", "slot": "noon"},
            {"body/step/slot": "Choose 'morning', 'anytime' or 'evening'."},
        ),
        ("POST", "/api/steps", {"catalogue": 5}, {"body/catalogue/catalogue": "Write text in quotes."}),
        (
            "POST",
            "/api/pause",
            {"until": "soon", "points": 1},
            {
                "body/until": "Write a date as YYYY-MM-DD, such as 2027-01-04.",
                "body/points": "There is no such key here. Take it out, or check how it is written.",
            },
        ),
        ("GET", "/api/days/soon", None, {"path/date": "Write a date as YYYY-MM-DD, such as 2027-01-04."}),
        (
            "PUT",
            "/api/days/2027-01-04/marks/bed-made",
            "kept",
            {"body": "Send a JSON object, with the content type application/json."},
        ),
    ],
)
def test_a_validation_error_says_in_plain_words_what_to_do(
    house: House, method: str, path: str, body: object, errors: dict[str, str]
) -> None:
    answer = house.http.request(method, path, json=body)
    assert answer.status_code == 422
    assert {error["where"]: error["reason"] for error in answer.json()["errors"]} == errors


def test_the_type_of_a_problem_leads_to_a_page_that_explains_it(house: House) -> None:
    kind = house.http.get("/api/moon").json()["type"]
    assert "Not found" in house.http.get(kind).text
    assert house.http.get("/problems/moon").status_code == 404


def test_a_persons_error_is_a_page_with_a_way_on(house: House) -> None:
    answer = house.http.get("/moon")
    assert (answer.status_code, answer.headers["content-type"]) == (404, "text/html; charset=utf-8")
    assert 'href="/today"' in answer.text


@pytest.mark.parametrize("headers", [{}, {"hx-request": "true"}])
def test_a_person_is_told_of_dates_as_people_say_them(house: House, headers: dict[str, str]) -> None:
    address = "/days/2027-01-03/marks/bed-made"
    answer = house.http.post(address, data={"mark": "kept"}, headers=headers)
    assert answer.status_code == 409
    told = read(answer.text).text
    assert "3 January 2027 lies before the start on 4 January 2027." in told
    assert "2027-01" not in told


def test_before_the_start_pages_lead_there_and_htmx_is_told_to_go_there(empty: House) -> None:
    for path in ("/today", "/away", "/settings"):
        assert empty.http.get(path).headers["location"] == "/start"
    assert empty.tap("bed-made", "kept").headers["hx-redirect"] == "/start"


def test_an_error_that_htmx_meets_goes_where_the_page_shows_trouble(house: House) -> None:
    answer = house.tap("bed-made", "kept", on=date(2026, 1, 1))
    assert (answer.status_code, answer.headers["hx-retarget"]) == (409, "#trouble")
    assert "<html" not in answer.text


class _FullDisk:
    """A store on a disk that is full."""

    def trouble(self) -> str | None:
        return None

    def version(self, _: str) -> None:
        raise StoreError("The disk that holds the database is full, so nothing was written.")

    def reading(self, household: str) -> AbstractContextManager[None]:
        raise StoreError(household)

    writing = reading


@pytest.fixture
def full(house: House) -> Iterator[House]:
    good = house.app.state.context
    house.app.state.context = type(good)(_FullDisk(), good.library, good.clock)
    yield house
    house.app.state.context = good


def test_a_full_disk_is_a_503_that_says_so(full: House) -> None:
    answer = full.http.get("/api/today")
    assert (answer.status_code, answer.json()["type"]) == (503, "/problems/store")
    assert "full" in answer.json()["detail"]
    assert "full" in full.http.get("/today").text


def test_a_fault_of_our_own_is_a_500_without_its_insides(house: House) -> None:
    good = house.app.state.context
    house.app.state.context = None
    http = TestClient(house.app, base_url=ADDRESS, raise_server_exceptions=False)
    answer = http.get("/api/today")
    assert (answer.status_code, answer.headers["content-type"]) == (500, PROBLEM)
    assert "NoneType" not in answer.text
    assert "Something went wrong here" in http.get("/today").text
    house.app.state.context = good
