"""The JSON of days and marks: `/api/start`, `/api/today`, `/api/days`."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from web.house import House

DAY_KEYS = {
    "date", "day", "phase", "editable", "lesson", "introduced", "checklist", "waiting_for", "welcome_back",
    "stuck", "arrived", "settled", "new_places", "empty", "few", "ideas", "version",
}  # fmt: skip
LINE_KEYS = {
    "step", "title", "small", "slot", "minutes", "cue", "mark", "open_since", "state", "caution",
    "works_in", "new", "marked_by", "mine",
}  # fmt: skip


def test_starting_answers_201_with_the_first_day_of_one_line(empty: House) -> None:
    day = empty.start()
    assert (day["day"], day["introduced"], day["phase"]) == (1, "bed-made", "ramping")
    assert [line["step"] for line in day["checklist"]] == ["bed-made"]


def test_a_day_has_the_fields_of_the_design(house: House) -> None:
    day = house.day()
    assert set(day) >= DAY_KEYS
    assert set(day["checklist"][0]) == LINE_KEYS
    assert set(day["lesson"]) == {"step", "number", "title", "markdown", "html"}
    assert set(day["waiting_for"][0]) == {"kind", "step", "kept", "needs", "of", "text"}


def test_starting_twice_is_a_409(house: House) -> None:
    answer = house.http.post("/api/start", json={"first": "bed-made", "zone": "UTC"})
    assert (answer.status_code, answer.json()["type"]) == (409, "/problems/already-started")


@pytest.mark.parametrize(
    "wrong", [{"zone": "Mars/Base"}, {"day_starts": "25:00"}, {"pace": "furious"}, {"first": "laundry-moved"}]
)
def test_a_start_that_cannot_be_read_is_a_422_and_starts_nothing(empty: House, wrong: dict[str, str]) -> None:
    answer = empty.http.post("/api/start", json={"first": "bed-made", "zone": "UTC"} | wrong)
    assert answer.status_code == 422
    assert empty.http.get("/api/today").status_code == 409


def test_before_the_start_today_says_where_to_start(empty: House) -> None:
    answer = empty.http.get("/api/today")
    assert (answer.status_code, answer.json()["start"]) == (409, "/start")


def test_a_mark_is_answered_with_the_day_as_it_stands(house: House) -> None:
    assert house.mark("bed-made", "small")["checklist"][0]["mark"] == "small"
    assert house.day()["checklist"][0]["mark"] == "small"


def test_the_last_mark_wins_and_a_repeated_one_changes_nothing(house: House) -> None:
    house.mark("bed-made", "kept")
    assert house.mark("bed-made", "missed") == house.mark("bed-made", "missed")
    assert house.day()["checklist"][0]["mark"] == "missed"


def test_a_request_sent_again_is_taken_once(house: House) -> None:
    address = f"/api/days/{house.today}/marks/bed-made"
    first = house.http.put(address, json={"mark": "kept", "request_id": "tap-1"})
    house.http.put(address, json={"mark": "missed", "request_id": "tap-2"})
    again = house.http.put(address, json={"mark": "kept", "request_id": "tap-1"})
    assert again.content == first.content
    assert house.day()["checklist"][0]["mark"] == "missed"


def test_taking_a_mark_back_is_idempotent(house: House) -> None:
    house.mark("bed-made")
    address = f"/api/days/{house.today}/marks/bed-made"
    first, second = house.http.delete(address), house.http.delete(address)
    assert first.json() == second.json()
    assert first.json()["checklist"][0]["mark"] is None


def test_the_seven_days_before_can_be_filled_in_and_older_ones_cannot(house: House) -> None:
    house.sleep(8)
    assert house.mark("bed-made", ago=7)["editable"]
    older = house.http.put(f"/api/days/{house.today.replace(day=4)}/marks/bed-made", json={"mark": "kept"})
    assert older.status_code == 409


@pytest.mark.parametrize("on", ["2027-01-03", "2027-01-05"])
def test_a_date_before_the_start_or_in_the_future_is_no_day(house: House, on: str) -> None:
    assert house.http.get(f"/api/days/{on}").status_code == 404
    assert house.http.put(f"/api/days/{on}/marks/bed-made", json={"mark": "kept"}).status_code == 409


def test_an_unknown_step_is_a_404_and_a_wrong_mark_a_422(house: House) -> None:
    address = f"/api/days/{house.today}/marks"
    assert house.http.put(f"{address}/moon", json={"mark": "kept"}).status_code == 404
    assert house.http.put(f"{address}/bed-made", json={"mark": "perfect"}).status_code == 422
    assert house.http.put(f"{address}/bed-made", json={"mark": "kept", "colour": 1}).status_code == 422


def test_three_kept_days_bring_the_next_step(house: House) -> None:
    house.live(2)
    assert house.day()["introduced"] is None
    house.live(1)
    day = house.day()
    assert day["introduced"] is not None
    assert len(day["checklist"]) == 2
