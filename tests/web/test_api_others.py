"""The JSON of the path, steps, times away and the log."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from web.house import House

PATH_KEYS = {
    "step", "title", "state", "after", "after_any", "introduced_on", "settled_on", "kept", "due", "strength",
    "strength_range", "waits", "repeats",
}  # fmt: skip
CSV = {"content-type": "text/csv"}


def test_before_the_start_the_path_is_the_course_with_every_step_ahead(empty: House) -> None:
    path = empty.http.get("/api/path").json()
    assert {step["state"] for step in path["steps"]} == {"ahead"}
    assert path["next"] is None


def test_the_path_has_the_fields_of_the_design(house: House) -> None:
    path = house.http.get("/api/path").json()
    assert set(path["steps"][0]) >= PATH_KEYS
    assert path["steps"][0]["state"] == "practising"


def test_an_own_step_is_answered_with_201_and_stands_last(house: House) -> None:
    answer = house.http.post("/api/steps", json={"title": "Water the plants", "minutes": 3, "waits": False})
    assert (answer.status_code, answer.json()["step"]) == (201, "water-the-plants")
    assert house.http.get("/api/path").json()["steps"][-1]["step"] == "water-the-plants"


def test_a_step_of_the_catalogue_comes_with_its_lessons(house: House) -> None:
    assert house.http.post("/api/steps", json={"catalogue": "water"}).status_code == 201
    assert house.http.post("/api/steps", json={"catalogue": "water"}).status_code == 409
    assert house.http.post("/api/steps", json={"catalogue": "moon"}).status_code == 404


@pytest.mark.parametrize(
    "wrong",
    [
        {},
        {"title": ""},
        {"title": "X", "minutes": -1},
        {"title": "X", "minutes": 10**30},
        {"title": "X", "repeats": "FREQ=SECONDLY"},
        {"title": "X", "after": ["moon"]},
        {"title": "X", "settles": {"kept": 4, "of": 3}},
        {"title": "X", "points": 3},
        {"catalogue": "water", "title": "X"},
    ],
)
def test_a_step_that_cannot_be_read_is_a_422(house: House, wrong: dict[str, object]) -> None:
    before = house.http.get("/api/path").json()
    assert house.http.post("/api/steps", json=wrong).status_code == 422
    assert house.http.get("/api/path").json() == before


def test_a_change_keeps_what_it_does_not_name(house: House) -> None:
    changed = house.http.patch(
        "/api/steps/bed-made", json={"title": "Straighten the bed", "cue": None}
    ).json()
    assert (changed["title"], changed["cue"], changed["minutes"]) == ("Straighten the bed", None, 2)


def test_setting_aside_restoring_and_taking_next_answer_the_step(house: House) -> None:
    def choose(step: str, choice: str) -> tuple[int, str]:
        answer = house.http.post(f"/api/steps/{step}/{choice}")
        return answer.status_code, answer.json().get("state", "")

    assert choose("bed-made", "set-aside") == (200, "set-aside")
    assert choose("bed-made", "restore") == (200, "practising")
    assert choose("table-cleared", "next") == (200, "ahead")
    assert choose("bed-made", "next")[0] == 409
    assert choose("moon", "restore")[0] == 404


def test_a_pause_without_dates_begins_today_and_ends_when_resumed(house: House) -> None:
    house.live(1)
    assert house.http.post("/api/pause").json()["phase"] == "paused"
    assert house.http.post("/api/resume").json()["phase"] == "ramping"


def test_a_pause_can_be_planned(house: House) -> None:
    day = house.http.post("/api/pause", json={"from": "2027-01-10", "until": "2027-01-17"}).json()
    assert day["phase"] == "ramping"
    assert day["pauses"] == [{"since": "2027-01-10", "until": "2027-01-17", "running": False}]


def test_a_planned_pause_can_be_called_off(house: House) -> None:
    house.http.post("/api/pause", json={"from": "2027-01-10"})
    assert house.http.post("/api/resume", json={"from": "2027-01-10"}).json()["pauses"] == []
    assert house.http.post("/api/resume", json={"from": "2027-01-10"}).status_code == 409


def test_a_pause_that_ends_before_it_begins_is_a_422(house: House) -> None:
    wrong = {"from": "2027-01-17", "until": "2027-01-10"}
    assert house.http.post("/api/pause", json=wrong).status_code == 422


def test_a_household_that_fell_away_chooses_how_to_come_back(house: House) -> None:
    house.live(6)
    house.sleep(24)  # a Wednesday, on which the weekly round is due too
    lapsed = house.day()
    assert (lapsed["phase"], lapsed["welcome_back"]["returned"]) == ("lapsed", False)
    back = house.http.post("/api/resume", json={"choice": "all"}).json()
    assert back["welcome_back"]["chosen"] == "all"
    assert len(back["checklist"]) == back["welcome_back"]["of"]


def test_the_log_goes_out_and_comes_in_again(house: House) -> None:
    house.live(3)
    before, csv = house.stands(), house.http.get("/api/log.csv")
    assert csv.headers["content-type"] == "text/csv; charset=utf-8"
    assert csv.text.startswith("date,what,step,value")
    brought = house.http.post("/api/log.csv", content=csv.content, headers=CSV).json()
    assert (brought["first"], house.stands()) == ("2027-01-04", before)


def test_a_log_with_faults_changes_nothing_and_names_each_row(house: House) -> None:
    house.live(2)
    before = house.day()
    wrong = "date,what,step,value\n2027-01-04,start,bed-made,\n2027-13-04,kept,bed-made,\n2027-01-05,flew,,\n"
    answer = house.http.post("/api/log.csv", content=wrong, headers=CSV)
    assert (answer.status_code, [fault["line"] for fault in answer.json()["faults"]]) == (422, [3, 4])
    assert house.day() == before


def test_a_log_that_is_no_text_or_no_csv_is_refused(house: House) -> None:
    assert house.http.post("/api/log.csv", content=b"\xff\xfe", headers=CSV).status_code == 422
    other = {"content-type": "text/plain"}
    assert house.http.post("/api/log.csv", content=b"x", headers=other).status_code == 415


def test_a_preview_says_what_would_be_lost_and_gained_and_changes_nothing(house: House) -> None:
    house.live(2)
    early = house.http.get("/api/log.csv").content
    house.live(1)
    late = house.http.get("/api/log.csv").content
    found = house.http.post("/api/log.csv?preview=true", content=early, headers=CSV).json()
    assert (found["now"]["days"], found["file"]["days"]) == (3, 2)
    assert (found["file"]["first"], found["file"]["last"]) == ("2027-01-04", "2027-01-05")
    assert (found["lost"]["days"], found["lost"]["first"]) == (1, "2027-01-06")
    assert found["lost"]["rows"] + found["same"] == found["now"]["rows"]
    assert found["gained"] == {"rows": 0, "marks": 0, "days": 0, "first": None, "last": None, "plan": None}
    assert house.http.get("/api/log.csv").content == late


def test_a_preview_of_a_faulty_log_names_its_faults(house: House) -> None:
    answer = house.http.post("/api/log.csv?preview=true", content=b"date\n", headers=CSV)
    assert (answer.status_code, answer.json()["type"]) == (422, "/problems/faulty-file")


def test_a_program_that_replaces_the_log_leaves_a_copy_too(house: House) -> None:
    house.live(2)
    before, csv = house.stands(), house.http.get("/api/log.csv").content
    other = b"date,what,step,value\n2027-01-04,start,bed-made,\n"
    answer = house.http.post("/api/log.csv", content=other, headers=CSV).json()
    assert answer == {"rows": 1, "first": "2027-01-04", "last": "2027-01-04", "later": 0}
    copies = house.app.state.context.copies
    copies.restore(copies.file(copies.kept()[0].name))
    assert (house.stands(), house.http.get("/api/log.csv").content) == (before, csv)


def test_a_log_of_no_declared_kind_is_read_as_csv(house: House) -> None:
    csv = house.http.get("/api/log.csv").content
    answer = house.http.post("/api/log.csv", content=csv)
    assert ("content-type" in answer.request.headers, answer.status_code) == (False, 200)


def test_health_reads_the_database(empty: House) -> None:
    assert empty.http.get("/healthz").json() == {"status": "ok", "findings": []}


def test_the_data_page_tells_what_is_dated_after_today_and_what_to_do(house: House) -> None:
    assert "Dated after today" not in house.http.get("/data").text
    house.sleep(400)
    house.mark("bed-made")
    house.sleep(-399)
    page = house.http.get("/data").text
    assert "Dated after today" in page
    assert "1 row of the log is dated later" in page
    assert "8 February 2028" in page
    log = house.http.get("/api/log.csv").text
    answer = house.http.post("/api/log.csv", content=log, headers={"content-type": "text/csv"})
    assert (answer.status_code, answer.json()["later"]) == (200, 1)
