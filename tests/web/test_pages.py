"""The pages as forms: each works by POST and redirect, without JavaScript."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from web.markup import Element, read

if TYPE_CHECKING:
    from web.house import House

PAGES = [
    "/today",
    "/path",
    "/path/what-if",
    "/steps/bed-made",
    "/new-step",
    "/catalogue",
    "/days",
    "/month",
    "/away",
    "/settings",
    "/data",
]
BEGIN = {"first": "table-cleared", "zone": "Europe/Lisbon", "day_starts": "04:00", "pace": "gentle"}


def see(house: House, path: str) -> Element:
    """A page, read."""
    return read(house.http.get(path).text)


def send(house: House, path: str, **data: Any) -> str:  # noqa: ANN401  text or several texts
    """Send a form, and give the address it leads to."""
    answer = house.http.post(path, data=data)
    assert answer.status_code == 303, answer.text
    return answer.headers["location"]


def test_the_door_leads_to_today_and_from_there_to_the_start(empty: House) -> None:
    assert empty.http.get("/").headers["location"] == "/today"
    assert empty.http.get("/today").headers["location"] == "/start"


def test_the_start_asks_three_things_and_begins(empty: House) -> None:
    page = see(empty, "/start")
    assert {field.attributes["name"] for field in page.every("input")} == {
        "first", "day_starts", "pace", "request_id",
    }  # fmt: skip
    assert len(list(page.every("option"))) > 400
    assert send(empty, "/start", **BEGIN) == "/today"
    assert [line.attributes["id"] for line in see(empty, "/today").every("li", "line")] == [
        "line-table-cleared"
    ]
    assert empty.http.get("/start").headers["location"] == "/today"


@pytest.mark.parametrize("wrong", [{"zone": ""}, {"zone": "Mars/Base"}, {"day_starts": "soon"}])
def test_a_start_with_a_fault_is_asked_again_with_the_other_answers_kept(
    empty: House, wrong: dict[str, str]
) -> None:
    answer = empty.http.post("/start", data=BEGIN | wrong)
    page = read(answer.text)
    assert answer.status_code == 422
    assert page.one(id="trouble").text
    assert page.one("input", value="table-cleared").attributes.keys() >= {"checked"}
    assert page.one("input", value="gentle").attributes.keys() >= {"checked"}


@pytest.mark.parametrize("path", PAGES)
def test_every_page_has_its_title_one_heading_and_no_inline_script_or_style(house: House, path: str) -> None:
    page = see(house, path)
    assert page.one("title").text.endswith("· Steading")
    assert len(list(page.every("h1"))) == 1
    assert not list(page.every("style"))
    assert all("src" in script.attributes for script in page.every("script"))
    assert not [
        e for e in page.every() if "style" in e.attributes or any(a[:2] == "on" for a in e.attributes)
    ]


@pytest.mark.parametrize("path", PAGES)
def test_ids_are_unique_and_every_control_has_a_name_or_label(house: House, path: str) -> None:
    page = see(house, path)
    ids = [element.attributes["id"] for element in page.every() if "id" in element.attributes]
    assert len(ids) == len(set(ids))
    labelled = {label.attributes.get("for") for label in page.every("label")}
    for field in page.every("input"):
        plain = field.attributes.get("type") not in {"hidden", "radio", "checkbox"}
        assert not plain or field.attributes["id"] in labelled


def test_one_tap_marks_and_one_takes_it_back(house: House) -> None:
    address = f"/days/{house.today}/marks/bed-made"
    assert send(house, address, mark="kept") == "/today#part-morning"
    assert see(house, "/today").one("p", "stamp").text == "Kept"
    assert send(house, address, mark="undo") == "/today#part-morning"
    assert not list(see(house, "/today").every("p", "stamp"))


def test_a_day_before_is_filled_in_on_its_own_page(house: House) -> None:
    house.sleep(2)
    grid = see(house, "/today").one("nav", "pager").one("a").attributes["href"]
    before = "/days/2027-01-05"
    assert before in {link.attributes["href"] for link in see(house, grid).every("a")}
    assert send(house, f"{before}/marks/bed-made", mark="small") == f"{before}#part-morning"
    assert see(house, before).one("p", "stamp").text == "Small"


def test_an_old_day_is_read_and_has_no_buttons(house: House) -> None:
    house.live(1)
    house.sleep(12)
    page = see(house, "/days/2027-01-04")
    assert not list(page.one(id="list").every("button"))
    assert page.one("p", "stamp").text == "Kept"


def test_the_return_offers_everything_or_one(house: House) -> None:
    house.live(12)
    house.sleep(21)
    offers = [button.text for button in see(house, "/today").one(id="welcome").every("button")]
    assert offers == ["Bring everything back", "Start with one"]
    assert send(house, "/today/return", choice="one").startswith("/today")
    assert len(list(see(house, "/today").every("li", "line"))) == 1
    send(house, "/today/return", choice="all")
    assert len(list(see(house, "/today").every("li", "line"))) > 3


def test_help_with_a_stuck_step_is_one_tap_each(house: House) -> None:
    house.live(10, "missed")
    page = see(house, "/today")
    help_ = page.one("details", "stuck")
    assert "“Make the bed”" in help_.one("h2").text
    assert len(list(help_.every("form"))) >= 4
    assert send(house, "/steps/bed-made/adjust", slot="evening", back="today") == "/today?said=saved"
    assert send(house, "/steps/bed-made/adjust", cue="after dinner", back="today") == "/today?said=saved"
    line = house.day()["checklist"][0]
    assert (line["slot"], line["cue"], line["title"]) == ("evening", "after dinner", "Make the bed")
    assert send(house, "/steps/bed-made/set-aside", back="today").startswith("/today")
    assert house.day()["stuck"] == []


def test_a_step_is_changed_by_its_form_and_only_what_differs_is_written(house: House) -> None:
    form = {"title": "Make the bed", "cue": "", "small": "One tug", "minutes": "2", "whole": "true"}
    send(house, "/steps/bed-made/adjust", **form, repeat="weekly", weekdays=["MO", "TH"])
    step = house.http.get("/api/steps/bed-made").json()
    assert (step["cue"], step["small"], step["weekdays"]) == (None, "One tug", ["MO", "TH"])
    rows = house.http.get("/api/log.csv").text.splitlines()
    send(house, "/steps/bed-made/adjust", **form, repeat="weekly", weekdays=["TH", "MO"])
    assert house.http.get("/api/log.csv").text.splitlines() == rows
    assert "adjust" in rows[-1]
    assert "title" not in rows[-1]


def test_a_step_form_with_a_fault_says_so_and_changes_nothing(house: House) -> None:
    before = house.http.get("/api/steps/bed-made").json()
    answer = house.http.post("/steps/bed-made/adjust", data={"repeat": "weekly"})
    assert answer.status_code == 422
    assert "weekday" in read(answer.text).one(id="trouble").text
    assert house.http.post("/steps/bed-made/adjust", data={"minutes": "9999"}).status_code == 422
    assert house.http.get("/api/steps/bed-made").json() == before


def test_setting_aside_and_restoring_lead_back_to_the_step(house: House) -> None:
    assert send(house, "/steps/bed-made/set-aside") == "/steps/bed-made?said=aside"
    assert "Set aside" in see(house, "/steps/bed-made?said=aside").one("p", "state").text
    assert send(house, "/steps/bed-made/restore") == "/steps/bed-made?said=restored"


def test_words_on_arrival_come_from_a_list_and_never_from_the_address(house: House) -> None:
    assert see(house, "/today?said=saved").one(id="said").text == "Saved."
    assert see(house, "/today?said=You+won").one(id="said").text == ""


def test_an_own_step_is_added_and_a_nameless_one_asked_again(house: House) -> None:
    assert (
        send(house, "/new-step", title="Feed the dog", after="bed-made") == "/steps/feed-the-dog?said=added"
    )
    answer = house.http.post("/new-step", data={"title": " ", "cue": "after tea"})
    assert answer.status_code == 422
    assert read(answer.text).one(id="cue").attributes["value"] == "after tea"


def test_a_step_of_the_catalogue_is_added_once(house: House) -> None:
    assert send(house, "/catalogue/water") == "/steps/water?said=added"
    added = [item for item in see(house, "/catalogue").every("li", "offer") if "Added" in item.text]
    assert len(added) == 1


def test_being_away_is_planned_called_off_begun_and_ended(house: House) -> None:
    house.live(2)
    assert send(house, "/away", since="2027-01-10", until="2027-01-20") == "/away?said=away"
    assert "Sunday 10 January" in see(house, "/away").one("section", "note").text
    send(house, "/away/call-off", since="2027-01-10")
    assert "No time away is planned" in see(house, "/away").text
    send(house, "/away", since="", until="")
    assert "You are away" in see(house, "/today").one(id="list").text
    assert send(house, "/away/back") == "/today?said=back"
    assert "You are away" not in see(house, "/today").text


def test_dates_away_with_a_fault_are_asked_again(house: House) -> None:
    answer = house.http.post("/away", data={"since": "2027-01-20", "until": "2027-01-10"})
    assert answer.status_code == 422
    assert read(answer.text).one(id="until").attributes["value"] == "2027-01-10"
    assert house.http.post("/away", data={"since": "2026-01-01"}).status_code == 422


def test_settings_are_changed_and_faults_shown(house: House) -> None:
    form = {"zone": "Pacific/Auckland", "day_starts": "15:00", "minutes": "20"}
    assert send(house, "/settings", **form) == "/settings?said=saved"
    page = see(house, "/settings")
    assert page.one(id="minutes").attributes["value"] == "20"
    assert page.one(id="day-starts").attributes["value"] == "15:00"
    send(house, "/settings", **(form | {"minutes": ""}))
    assert see(house, "/settings").one(id="minutes").attributes["value"] == ""
    assert house.http.post("/settings", data=form | {"minutes": "a lot"}).status_code == 422


def test_the_faults_of_a_log_are_shown_beside_the_form(house: House) -> None:
    house.live(2)
    csv = house.http.get("/api/log.csv").content
    faulty = house.http.post("/data/import", files={"log": ("log.csv", csv + b"2027-01-05,flew,,\r\n")})
    assert faulty.status_code == 422
    assert "flew" in read(faulty.text).one("table").text
    assert house.http.post("/data/import").status_code == 422


def test_of_many_faults_the_first_are_shown_and_the_rest_counted(house: House) -> None:
    log = b"date,what,step,value\n" + b"x\n" * 400
    answer = house.http.post("/data/import", files={"log": ("log.csv", log)})
    assert answer.text.count("<tr>") == 51
    assert "And 350 more." in answer.text


def test_a_backup_that_is_none_changes_nothing(house: House) -> None:
    before = house.day()
    answer = house.http.post("/data/restore", files={"saved": ("backup.db", b"no database at all")})
    assert answer.status_code == 422
    assert read(answer.text).one(id="trouble").text
    assert house.day() == before


def test_everything_is_deleted_only_when_the_word_was_typed(house: House) -> None:
    assert house.http.post("/data/forget", data={"confirmation": "yes"}).status_code == 422
    assert house.http.get("/api/today").status_code == 200
    assert send(house, "/data/forget", confirmation=" Delete ") == "/start"
    assert house.http.get("/api/today").status_code == 409


def test_every_empty_state_says_what_to_do_next(house: House) -> None:
    for step in house.http.get("/api/path").json()["steps"]:
        send(house, f"/steps/{step['step']}/set-aside")
    nothing = see(house, "/today").one(id="list")
    assert "Nothing is due" in nothing.text
    assert nothing.one("a").attributes["href"] == "/path"
