"""The JSON of the week and its jobs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from web.week.house import SATURDAY, grown

if TYPE_CHECKING:
    from pathlib import Path

    from web.house import House

WEEK_KEYS = {
    "week", "first", "last", "current", "editable", "earlier", "later", "lapsed", "days", "available",
    "moved", "by_member",
}  # fmt: skip
JOB = "/api/jobs/out-and-back"


def get(house: House, path: str) -> Any:  # noqa: ANN401  any JSON
    answer = house.http.get(path)
    assert answer.status_code == 200, answer.text
    return answer.json()


def job_days(week: dict[str, Any]) -> dict[str, str]:
    return {job["step"]: day["date"] for day in week["days"] for job in day["jobs"]}


def test_a_week_has_its_fields_and_is_the_one_of_its_name(house: House) -> None:
    week = get(grown(house), "/api/week")
    assert set(week) == WEEK_KEYS
    assert (week["week"], week["first"], week["last"]) == ("2027-W04", "2027-01-25", "2027-01-31")
    assert get(house, "/api/week/2027-W04") == week
    assert job_days(week)["out-and-back"] == SATURDAY


@pytest.mark.parametrize(
    ("name", "status", "said"),
    [
        ("2027-W54", 422, "The year 2027 has no week 54"),
        ("2027-W5", 422, "such as 2027-W05"),
        ("soon", 422, "is not a week"),
        ("2026-W52", 404, "before the start on 4 January 2027"),
        ("2050-W01", 404, "ten years ahead"),
    ],
)
def test_a_week_there_is_none_of_says_so(house: House, name: str, status: int, said: str) -> None:
    for path in (f"/api/week/{name}", f"/api/load?week={name}", f"/api/balance?week={name}"):
        answer = house.http.get(path)
        assert (answer.status_code, said in answer.json()["detail"]) == (status, True)


def test_past_weeks_are_read_only(house: House) -> None:
    grown(house)
    week = get(house, "/api/week/2027-W03")
    assert not week["editable"]
    due = next(day["date"] for day in week["days"] for job in day["jobs"])
    step = next(job["step"] for day in week["days"] for job in day["jobs"])
    answer = house.http.post(f"/api/jobs/{step}/move", json={"on": due, "to": "2027-01-18"})
    assert (answer.status_code, answer.json()["type"]) == (409, "/problems/not-editable")
    assert house.http.get("/api/balance?week=2027-W03").status_code == 409
    assert house.http.post("/api/balance", json={"week": "2027-W03", "moves": {}}).status_code == 409


def test_moving_a_job_answers_with_the_week_and_is_undone(house: House) -> None:
    grown(house)
    body = {"on": "2027-02-06", "to": "2027-02-03"}
    moved = house.http.post("/api/jobs/out-and-back/move", json=body).json()
    assert (moved["week"], job_days(moved)["out-and-back"]) == ("2027-W05", "2027-02-03")
    assert [job["step"] for job in moved["moved"]] == ["out-and-back"]
    assert house.http.post("/api/week/undo").json()["moved"] == []
    assert job_days(get(house, "/api/week/2027-W05"))["out-and-back"] == "2027-02-06"
    assert house.http.post("/api/week/undo").status_code == 409


def test_a_proposal_is_accepted_as_it_was_given(house: House) -> None:
    grown(house)
    house.http.put("/api/available", json={"minutes": {"SA": 40, "SU": 120}})
    proposal = get(house, "/api/balance?week=2027-W05")
    assert proposal["moves"]
    assert (proposal["before"]["overload"], proposal["after"]["overload"]) == (43, 0)
    moves = {move["step"]: move["to"] for move in proposal["moves"]}
    week = house.http.post("/api/balance", json={"week": "2027-W05", "moves": moves}).json()
    assert [day["minutes"] for day in week["days"]] == [day["minutes"] for day in proposal["after"]["days"]]
    assert house.http.post("/api/balance", json={"moves": {"moon": "2027-02-03"}}).status_code == 409


def test_minutes_available_make_the_overload_of_the_load(house: House) -> None:
    grown(house)
    said = house.http.put("/api/available", json={"minutes": {"SA": 60}}).json()
    assert said == get(house, "/api/available")
    saturday = get(house, "/api/load")["days"][5]
    assert saturday["overload_text"] == f"Saturday is {saturday['minutes'] - 60} minutes over."
    assert house.http.put("/api/available", json={"minutes": {"SA": 2000}}).status_code == 422
    assert house.http.put("/api/available", json={"minutes": {"someday": 20}}).status_code == 422


def test_lines_are_ticked_left_and_taken_back(house: House) -> None:
    grown(house)
    assert house.http.put(f"{JOB}/ticks/1", json={}).json()["done"] == 1
    assert house.http.put(f"{JOB}/ticks/2", json={"state": "later"}).json()["lines"][1]["state"] == "later"
    assert house.http.delete(f"{JOB}/ticks/2?on={SATURDAY}").json()["lines"][1]["state"] is None
    assert house.http.put(f"{JOB}/ticks/9", json={}).status_code == 404
    assert house.http.put(f"{JOB}/ticks/1", json={"on": "2027-01-23"}).status_code == 409
    assert get(house, JOB)["mark"] is None


def test_lines_are_put_in_order_and_given_back(house: House) -> None:
    grown(house)
    shipped = get(house, JOB)["lines"]
    lines = [{"line": "3", "title": "Library", "minutes": 12}, {"title": "Bins", "minutes": 3}]
    found = house.http.put(f"{JOB}/lines", json={"lines": lines, "stop_after": 20}).json()
    assert [(line["line"], line["title"]) for line in found["lines"]] == [("3", "Library"), ("4", "Bins")]
    assert (found["stop_after"], found["own_lines"]) == (20, True)
    assert house.http.delete(f"{JOB}/lines").json()["lines"] == shipped
    wrong = {"lines": [{"line": "99", "title": "Mop", "minutes": 12}]}
    assert house.http.put(f"{JOB}/lines", json=wrong).status_code == 422


def test_a_timer_goes_on_through_a_restart(house: House, tmp_path: Path) -> None:
    grown(house)
    started = house.http.put(f"{JOB}/timer").json()["timer"]
    assert (started["state"], started["minutes_left"], started["ends_text"]) == ("running", 45, "12:45")
    other = type(house)(tmp_path)  # the same database, opened by another process of ours
    other.now = house.now.replace(minute=25)
    assert other.http.get(JOB).json()["timer"]["minutes_left"] == 20
    assert other.http.get(JOB).json()["timer"]["started_at"] == "2027-01-30T12:00:00Z"
    assert other.http.delete(f"{JOB}/timer").json()["timer"]["state"] == "ready"
    other.close()
    assert get(house, JOB)["timer"]["state"] == "ready"


def test_what_is_no_job_or_not_open_is_refused(house: House) -> None:
    grown(house)
    assert house.http.get("/api/jobs/bed-made").status_code == 404
    assert house.http.get("/api/jobs/moon").status_code == 404
    assert house.http.put("/api/jobs/papers/timer").status_code == 409


def test_all_jobs_are_listed_as_each_is_by_itself(house: House) -> None:
    grown(house)
    jobs = get(house, "/api/jobs")
    assert {job["step"] for job in jobs} >= {"out-and-back", "papers"}
    assert all(get(house, f"/api/jobs/{job['step']}") == job for job in jobs)


def test_before_the_start_all_say_where_to_start(empty: House) -> None:
    for path in ("/api/week", "/api/load", "/api/balance", "/api/available", "/api/jobs", JOB):
        answer = empty.http.get(path)
        assert (answer.status_code, answer.json()["start"]) == (409, "/start")
