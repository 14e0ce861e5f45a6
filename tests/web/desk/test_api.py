"""Dues, to-dos and the quick line as JSON: what they answer, and what they refuse."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from web.kitchen.full_week import a_full_week, ask

if TYPE_CHECKING:
    from web.house import House

WEEKLY = {"name": "Bins", "on": "2027-01-08", "repeats": "FREQ=WEEKLY;BYDAY=FR"}
NEVER = WEEKLY | {"repeats": "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30"}
MANY = {"titles": [f"Thing to do number {number}" for number in range(10_000)]}
NO_FEBRUARY = "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30 never comes: there is no such date."
TOO_MANY = "These are 10,000 things to do. Add at most 200 at once; nothing was added."
NO_DATE = "There is no date “30 feb”. Write another one, such as fri, 14 March or 2027-03-14."
NO_WHEN = "When is it due? Give the date, or save it as a to-do."


def test_a_due_is_written_down_seen_to_and_reopened(house: House) -> None:
    answer = house.http.post("/api/dues", json=WEEKLY)
    place = answer.headers["location"]
    assert (answer.status_code, answer.json()["dues"][0]["repeats_text"]) == (201, "every Friday")
    for _ in range(2):
        found = ask(house, "PUT", f"{place}/seen-to/2027-01-08")
        assert [one["on"] for one in found["coming"]] == ["2027-01-15"]
    assert [one["on"] for one in ask(house, "DELETE", f"{place}/seen-to/2027-01-08")["coming"]] == [
        "2027-01-08"
    ]
    assert ask(house, "PUT", place, WEEKLY | {"name": "All bins"})["dues"][0]["name"] == "All bins"
    assert ask(house, "DELETE", place)["dues"] == []


def test_to_dos_are_put_off_picked_done_and_undone(house: House) -> None:
    a_full_week(house)
    found = ask(house, "GET", "/api/to-dos")
    oldest, other = (todo["id"] for todo in found["put_off"])
    assert found["picked"]["id"] == oldest
    assert ask(house, "PUT", f"/api/to-dos/{other}/picked")["picked"]["id"] == other
    assert [todo["id"] for todo in ask(house, "PUT", f"/api/to-dos/{other}/done")["done"]] == [other]
    assert ask(house, "DELETE", f"/api/to-dos/{other}/done")["done"] == []
    found = ask(house, "PATCH", f"/api/to-dos/{other}", {"kind": "errand", "place": "Post office"})
    assert [todo["title"] for todo in found["errands"][0]["todos"]] == ["Mend the tap", "Stamps"]
    assert ask(house, "DELETE", f"/api/to-dos/{other}")["errands"][0]["todos"][0]["title"] == "Stamps"


def test_a_quick_line_is_read_back_and_then_saved(house: House) -> None:
    read = ask(house, "GET", "/api/quick?line=renew+library+card+fri")
    assert read["text"] == "Due: renew library card, on Friday 8 January 2027."
    assert ask(house, "GET", "/api/dues")["dues"] == []
    body = {name: read[name] for name in ("kind", "title", "on", "place")}
    saved = ask(house, "POST", "/api/quick", body)
    assert [due["id"] for due in ask(house, "GET", "/api/dues")["dues"]] == [saved["id"]]


def test_two_phones_at_once_lose_nothing(house: House) -> None:
    """What one phone adds between another's reading and writing is still there."""
    for number in range(3):
        ask(house, "POST", "/api/to-dos", {"titles": [f"thing {number}"]})
        ask(house, "POST", "/api/dues", WEEKLY | {"name": f"due {number}"})
    assert len({todo["id"] for todo in ask(house, "GET", "/api/to-dos")["open"]}) == 3
    assert len({due["id"] for due in ask(house, "GET", "/api/dues")["dues"]}) == 3


@pytest.mark.parametrize(
    ("method", "path", "body", "status", "said"),
    [
        ("POST", "/api/dues", NEVER, 422, NO_FEBRUARY),
        ("POST", "/api/to-dos", MANY, 422, TOO_MANY),
        ("GET", "/api/quick?line=tax+30+feb", None, 422, NO_DATE),
        ("POST", "/api/quick", {"kind": "due", "title": "tax"}, 422, NO_WHEN),
    ],
)
def test_what_cannot_be_done_gets_one_clear_sentence_and_changes_nothing(
    house: House, method: str, path: str, body: object, status: int, said: str
) -> None:
    before = [house.http.get(f"/api/{name}").json() for name in ("dues", "to-dos")]
    answer = house.http.request(method, path, json=body)
    assert (answer.status_code, answer.json()["detail"]) == (status, said)
    assert answer.headers["content-type"] == "application/problem+json"
    assert [house.http.get(f"/api/{name}").json() for name in ("dues", "to-dos")] == before


@pytest.mark.parametrize("path", ["/api/dues", "/api/to-dos"])
def test_before_the_start_it_is_said_where_to_start(empty: House, path: str) -> None:
    answer = empty.http.get(path)
    assert (answer.status_code, answer.json()["start"]) == (409, "/start")
