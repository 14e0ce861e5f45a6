"""The pages of weekday jobs: forms that work without JavaScript, and agree with the JSON."""

from __future__ import annotations

from typing import TYPE_CHECKING

from web.markup import Element, read
from web.week.house import JOB, SATURDAY, grown, see, send, six_lines

if TYPE_CHECKING:
    from web.house import House


def shown_lines(page: Element) -> list[tuple[str, str]]:
    return [(line.attributes["id"].removeprefix("line-"), line.one("p", "words").text)
            for line in page.every("li", "line")]  # fmt: skip


def told_lines(house: House) -> list[tuple[str, str]]:
    lines = house.http.get(f"/api{JOB}").json()["lines"]
    return [(line["line"], line["title"]) for line in lines if line["state"] is None]


def test_a_job_shows_what_the_json_tells(house: House) -> None:
    grown(house)
    told, page = house.http.get(f"/api{JOB}").json(), see(house, JOB)
    assert page.one("h1").text == told["title"]
    assert shown_lines(page) == told_lines(house)
    assert "any day until Friday 5 February will do" in page.text
    assert "It ends after 45 minutes" in page.one("section", "timer").text


def test_lines_are_ticked_left_and_folded_away(house: House) -> None:
    six_lines(house)
    for line, state in (("1", "done"), ("2", "done"), ("4", "later")):
        assert send(house, f"{JOB}/ticks", line=line, state=state, on=SATURDAY) == JOB
    page = see(house, JOB)
    assert shown_lines(page) == told_lines(house)
    assert page.one("details", "finished").one("summary").text == "2 lines finished, 1 left for next time"
    send(house, f"{JOB}/ticks", line="1", state="undo")
    assert "1 line finished" in see(house, JOB).one("details", "finished").one("summary").text


def test_htmx_gets_the_same_job_as_the_page(house: House) -> None:
    grown(house)
    data, partial = {"line": "3", "state": "done"}, {"hx-request": "true"}
    answer = read(house.http.post(f"{JOB}/ticks", data=data, headers=partial).text)
    assert shown_lines(answer) == shown_lines(see(house, JOB)) == told_lines(house)
    assert "finished." in answer.one("p", id="said").text


def test_the_job_is_marked_and_its_lines_fold_away(house: House) -> None:
    grown(house)
    assert send(house, f"{JOB}/marks/{SATURDAY}", mark="kept") == JOB
    page = see(house, JOB)
    assert page.one("section", "whole-job").one("h2").text == "Kept"
    assert not list(page.every("li", "line"))
    assert not list(page.every("section", "timer"))
    assert next(line["mark"] for line in house.day()["checklist"] if line["step"] == "out-and-back") == "kept"
    send(house, f"{JOB}/marks/{SATURDAY}", mark="undo")
    assert len(shown_lines(see(house, JOB))) == 3


def test_the_timer_says_the_minutes_left_at_every_look(house: House) -> None:
    grown(house)
    send(house, f"{JOB}/timer", do="start", on=SATURDAY)
    house.now = house.now.replace(minute=18)
    timer = see(house, JOB).one("section", "timer")
    assert timer.one("h2").text == "27 minutes left"
    assert timer.one("progress").attributes["value"] == str(18 * 60)
    assert timer.attributes["data-seconds"] == str(27 * 60)
    house.now = house.now.replace(hour=14)
    over = see(house, JOB).one("section", "timer")
    assert over.one("h2").text == "Time is up"
    assert "ended at 12:45" in over.text
    send(house, f"{JOB}/timer", do="start")
    send(house, f"{JOB}/timer", do="stop")
    assert "It ends after 45 minutes" in see(house, JOB).one("section", "timer").text


def test_a_job_that_is_not_open_says_when_it_comes(house: House) -> None:
    page = see(grown(house), "/jobs/papers")
    assert "It comes next on Tuesday 2 February" in page.one("section", "note").text
    assert not list(page.one("main").every("form"))


def test_a_job_that_rests_names_no_day_and_says_how_it_comes_back(house: House) -> None:
    home = grown(house)
    home.sleep(14)
    home.http.post("/api/resume", json={"choice": "one"})
    note = see(home, JOB).one("section", "note")
    assert note.one("h2").text == "Resting"
    assert "comes back by itself" in note.text
    assert "comes next on" not in note.text


def fields(page: Element, name: str) -> list[str]:
    inputs = page.one("main").one("form").every("input")
    return [field.attributes["value"] for field in inputs if field.attributes["name"] == name]


def test_lines_are_renamed_reordered_removed_and_added_in_one_form(house: House) -> None:
    six_lines(house)
    page = see(house, f"{JOB}/lines")
    form = {name: fields(page, name) for name in ("line", "title", "minutes", "stop_after")}
    assert form["line"] == ["1", "2", "3", "4", "5", "6", ""]
    form["title"] = ["Basket", *form["title"][1:-1], "Water the ferns"]
    form["minutes"][-1] = "7"
    assert send(house, f"{JOB}/lines", **form, do="up:2") == f"{JOB}/lines?said=saved"
    lines = house.http.get(f"/api{JOB}").json()["lines"]
    assert [line["line"] for line in lines] == ["2", "1", "3", "4", "5", "6", "7"]
    assert (lines[1]["title"], lines[-1]["title"], lines[-1]["minutes"]) == ("Basket", "Water the ferns", 7)
    form = {name: fields(see(house, f"{JOB}/lines"), name) for name in form}
    send(house, f"{JOB}/lines", **form, do="remove:3")
    form = {name: fields(see(house, f"{JOB}/lines"), name) for name in form}
    send(house, f"{JOB}/lines", **form, do="down:6")
    lines = house.http.get(f"/api{JOB}").json()["lines"]
    assert [line["line"] for line in lines] == ["2", "1", "4", "5", "7", "6"]
    send(house, f"{JOB}/lines/restore")
    assert [line["line"] for line in house.http.get(f"/api{JOB}").json()["lines"]] == list("123")


def test_a_fault_in_the_lines_is_explained_with_everything_typed_kept(house: House) -> None:
    grown(house)
    form = {"line": ["1", ""], "title": ["Dust", "Ferns"], "minutes": ["10", "ages"], "stop_after": "60"}
    answer = house.http.post(f"{JOB}/lines", data=form)
    page = read(answer.text)
    assert answer.status_code == 422
    assert "“ages” is no number of minutes for “Ferns”" in page.one(id="trouble").text
    assert fields(page, "title") == ["Dust", "Ferns"]
    assert len(house.http.get(f"/api{JOB}").json()["lines"]) == 3
    assert house.http.post(f"{JOB}/lines", data={"title": ["Dust"]}).status_code == 422


def test_the_week_can_count_as_many_minutes_as_the_lines_come_to(house: House) -> None:
    grown(house)
    lines = [{"line": "1", "title": "Dust", "minutes": 25}]
    house.http.put(f"/api{JOB}/lines", json={"lines": lines, "stop_after": 30})
    assert "come to 25 minutes" in see(house, f"{JOB}/lines").text
    send(house, f"{JOB}/minutes")
    assert house.http.get("/api/steps/out-and-back").json()["minutes"] == 25
