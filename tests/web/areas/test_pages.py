"""The pages of the areas show what the JSON tells, take what one types, and lose nothing."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from web.areas.house import ROOMS, first_listed, get, set_up
from web.markup import Element, read

if TYPE_CHECKING:
    from collections.abc import Callable

    from web.house import House


def page(house: House, path: str, status: int = 200) -> Element:
    answer = house.http.get(path)
    assert answer.status_code == status, answer.text
    return read(answer.text)


def post(house: House, path: str, status: int = 303, **fields: Any) -> Element:  # noqa: ANN401  form fields
    answer = house.http.post(path, data=fields)
    assert answer.status_code == status, answer.text
    if status != 303:
        return read(answer.text)
    return page(house, answer.headers["location"])


def test_an_empty_home_is_asked_for_its_rooms_and_its_week_leads_there(house: House) -> None:
    picked = page(house, "/areas")
    kinds = [box.attributes["value"] for box in picked.every("input", name="", type="checkbox")]
    assert kinds == [kind["title"] for kind in get(house, "/api/rooms")]
    for path in ("/areas/week", "/areas/weeks"):
        answer = house.http.get(path)
        assert (answer.status_code, answer.headers["location"]) == (303, "/areas")


def test_before_the_start_one_is_sent_there(empty: House) -> None:
    for path in ("/areas", "/areas/week", "/areas/weeks", "/areas/kitchen"):
        answer = empty.http.get(path)
        assert (answer.status_code, answer.headers["location"]) == (303, "/start")


def test_a_proposal_shows_what_the_json_proposes(house: House) -> None:
    shown = post(house, "/areas/proposal", 200, room=["Kitchen", "Bathroom"], more="Larder\n\n Tom's room ")
    rooms = ["Kitchen", "Bathroom", "Larder", "Tom's room"]
    told = house.http.post("/api/areas/proposal", json={"rooms": rooms}).json()
    assert told["picked"] in shown.text
    assert [item.one("h2").text for item in shown.every("li", "area")] == [
        area["name"] for area in told["areas"]
    ]
    assert shown.one("form", action="/areas/set-up").one("button").text == "Divide my home like this"


def test_accepting_divides_the_home_and_says_so(house: House) -> None:
    shown = post(house, "/areas/set-up", room=ROOMS, areas="5")
    assert "Your home is divided." in shown.one("p", "said").text
    assert len(get(house, "/api/areas")["areas"]) == 5


@pytest.mark.parametrize("path", ["/areas/proposal", "/areas/set-up"])
@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({}, "No room is named"),
        ({"room": ["Kitchen"], "areas": "13"}, "1 to 2 areas, not 13"),
        ({"room": ["Kitchen"], "areas": "many"}, "“many” is no number for the areas"),
    ],
)
def test_rooms_that_make_no_areas_are_asked_again_with_everything_kept(
    house: House, path: str, fields: dict[str, Any], said: str
) -> None:
    shown = post(house, path, 422, more="Chapel" if fields else "", **fields)
    assert said in shown.one(id="trouble").text
    if fields:
        assert [box.attributes["value"] for box in shown.every("input", checked="")] == ["Kitchen"]
        assert shown.one("textarea").text == "Chapel"
    assert get(house, "/api/areas")["areas"] == []


def test_the_overview_shows_what_the_json_tells(house: House) -> None:
    set_up(house)
    told, shown = get(house, "/api/areas"), page(house, "/areas")
    assert [item.one("a", "title").text for item in shown.every("li", "area")] == [
        area["name"] for area in told["areas"]
    ]
    rows = [row for row in shown.one("tbody").every("tr") if "remarks" not in row.classes]
    assert [[cell.text for cell in row.every("td")] for row in rows] == [
        [str(area[key]) for key in ("minutes", "visits", "weeks")] for area in told["areas"]
    ]
    remarks = [item.text for item in shown.one("table").every("li")]
    assert remarks == [remark for area in told["areas"] for remark in area["remarks"]]
    assert told["undo"] in shown.one("form", "way-back").text


def test_the_plan_of_the_home_shows_every_room_in_its_area_by_pattern_and_name(house: House) -> None:
    set_up(house)
    shown = page(house, "/areas")
    blocks = list(shown.every("a", "block"))
    for number, (block, area) in enumerate(zip(blocks, get(house, "/api/areas")["areas"], strict=True), 1):
        assert block.attributes["href"] == f"/areas/{area['area']}"
        assert block.text.startswith(area["name"])
        assert all(room in block.text for room in area["rooms"])
        assert {room.attributes["fill"] for room in block.every("rect", "room")} == {f"url(#area-{number})"}
    patterns = [
        tuple(tuple(part.attributes.items()) for part in pattern.every() if part.tag != "rect")
        for pattern in shown.every("pattern")
    ]
    assert len(set(patterns)) == len(patterns) == 12


def _in_the_list(house: House) -> None:
    house.http.put(f"/api/days/{house.today}/tasks/{first_listed(house)}")


def _spot(house: House) -> None:
    house.http.patch("/api/areas", json={"way": "both"})


def _declutter(house: House) -> None:
    house.http.post("/api/rotation/declutter")


def _skipped(house: House) -> None:
    house.http.post("/api/rotation/skip", json={"week": str(house.today)})


def _shared(house: House) -> None:
    house.http.patch("/api/areas", json={"mode": "month"})
    house.sleep(21)


@pytest.mark.parametrize("story", [_in_the_list, _spot, _declutter, _skipped, _shared])
def test_the_week_shows_what_the_json_tells(house: House, story: Callable[[House], None]) -> None:
    set_up(house)
    story(house)
    told, shown = get(house, "/api/area-week"), page(house, "/areas/week")
    lines = [item.one("p", "title").text for item in shown.every("li", "line")]
    tasks = [task for part in ("listed", "if_time") for area in told["areas"] for task in area[part]]
    spot = [told["spot"]] if told["spot"] else []
    assert lines == [task["title"] for task in spot + tasks]
    done = [item.one("p", "title").text for item in shown.every("li", "marked")]
    assert done == [task["title"] for task in spot + tasks if task["done"]]
    cautions = [task["caution"] for task in spot + tasks if task["caution"]]
    assert [item.one("summary").text for item in shown.every("details", "caution")] == [
        f"Take care: {caution['title']}" for caution in cautions
    ]
    assert told["kind"] == "turn" or told["text"] in shown.text


@pytest.mark.parametrize("mode", ["continuous", "month"])
def test_the_weeks_to_come_show_what_the_json_tells(house: House, mode: str) -> None:
    set_up(house)
    house.http.patch("/api/areas", json={"mode": mode})
    house.http.post("/api/rotation/skip", json={"week": "2027-02-01"})
    told, shown = get(house, "/api/rotation"), page(house, "/areas/weeks")
    items = list(shown.one("ol", "turns").every("li", "turn"))
    for item, week in zip(items, told["weeks"], strict=True):
        assert all(share["name"] in item.one("span", "who").text for share in week["areas"])
        assert week["text"] in item.text
    drawn = [rect.attributes["fill"] for rect in shown.one("svg", "weeks").every("rect", "turn")]
    assert drawn == [f"url(#area-{share['number']})" for week in told["weeks"] for share in week["areas"]]


def test_a_tap_marks_a_task_and_another_takes_it_back(house: House) -> None:
    set_up(house)
    path = f"/areas/week/tasks/{first_listed(house)}"
    marked = post(house, path, on=str(house.today), mark="done")
    assert len(list(marked.every("li", "marked"))) == 1
    answer = house.http.post(
        path, data={"on": str(house.today), "mark": "undo"}, headers={"hx-request": "true"}
    )
    partial = read(answer.text)
    assert list(partial.every("li", "marked")) == []
    assert "Mark taken back." in partial.text


def test_ticks_can_be_for_another_day(house: House) -> None:
    set_up(house)
    task = first_listed(house)
    house.sleep(2)
    yesterday = house.today.replace(day=5)
    shown = page(house, f"/areas/week?on={yesterday}")
    assert "Ticks now count for Tuesday 5 January." in shown.text
    line = shown.one("li", id=f"list-{task}")
    assert line.one("input").attributes["value"] == str(yesterday)
    post(house, f"/areas/week/tasks/{task}", on=str(yesterday), mark="done")
    assert get(house, "/api/area-week")["areas"][0]["listed"][0]["done"] == str(yesterday)
    assert "Ticks now count" not in page(house, "/areas/week?on=2026-01-01").text


def test_an_area_shows_its_tasks_with_what_the_json_tells(house: House) -> None:
    set_up(house)
    told, shown = get(house, "/api/areas/bedroom-and-kids-room"), page(house, "/areas/bedroom-and-kids-room")
    names = [item.one("p", "what").text for item in shown.every("li", "task")]
    assert names == [task["title"] for task in told["detail"] + told["suggestions"] + told["declutter"]]
    assert told["suggestions"]
    assert "at most every 14 days (American Cleaning Institute)" in shown.text
    assert page(house, "/areas/moon", 404).one("h1").text


FORMS: dict[str, tuple[str, dict[str, Any], str]] = {
    "rename": (
        "/areas/bathroom-and-toilet",
        {"name": "Wet rooms"},
        "Renamed Bathroom and Toilet to Wet rooms",
    ),
    "move": (
        "/areas/bathroom-and-toilet/place",
        {"to": "earlier"},
        "Moved Bathroom and Toilet before Living room",
    ),
    "room": ("/areas/bathroom-and-toilet/rooms", {"room": "Shower"}, "Added Shower to Bathroom and Toilet"),
    "take out": (
        "/areas/bathroom-and-toilet/rooms/remove",
        {"room": "Toilet"},
        "Removed Toilet from Bathroom and Toilet",
    ),
    "merge": (
        "/areas/bathroom-and-toilet/merge",
        {"other": "study"},
        "Merged Study into Bathroom and Toilet",
    ),
    "split": (
        "/areas/bathroom-and-toilet/split",
        {"name": "Loo", "room": ["Toilet"]},
        "Split Loo from Bathroom and Toilet",
    ),
    "remove": ("/areas/bathroom-and-toilet/remove", {}, "Removed the area Bathroom and Toilet"),
    "task": ("/areas/bathroom-and-toilet/tasks", {"title": "Mirror", "minutes": "5"}, "Added “Mirror”"),
    "add": ("/areas/new", {"name": "Attic", "rooms": "Attic\nCellar"}, "Added the area Attic"),
    "turns": (
        "/areas/arrange",
        {"minutes_a_week": "45", "spot_minutes": "10", "mode": "month", "way": "both", "area_days": ["TU"]},
        "Arranged the turns: the weeks of the month, 45 minutes a week, list and short task",
    ),
    "skip": ("/areas/weeks/skip", {"week": "2027-01-04"}, "Left the week of 4 January free"),
    "swap": (
        "/areas/weeks/swap",
        {"week": "2027-01-04", "other": "2027-01-11"},
        "Swapped the turns of the weeks of 4 January and 11 January",
    ),
    "declutter": ("/areas/weeks/declutter", {"weeks": "3"}, "Began declutter weeks"),
    "sort first": (
        "/areas/bathroom-and-toilet/sort-first",
        {"first": "yes"},
        "Chose to sort Bathroom and Toilet out first",
    ),
}


@pytest.mark.parametrize("name", FORMS)
def test_every_form_does_what_it_says_and_its_change_can_be_taken_back(house: House, name: str) -> None:
    set_up(house)
    path, fields, said = FORMS[name]
    before = get(house, "/api/areas")["areas"]
    shown = post(house, path, **fields)
    assert get(house, "/api/areas")["undo"] == said
    assert said in shown.one("form", "way-back").text or "areas/weeks" in path
    post(house, "/areas/undo", back="weeks")
    assert get(house, "/api/areas")["areas"] == before


WRONG: dict[str, tuple[str, dict[str, Any], str, int]] = {
    "no minutes": (
        "/areas/study/tasks",
        {"title": "Mirror", "minutes": "0"},
        "1 to 1440 minutes, not 0",
        422,
    ),
    "too many": ("/areas/study/tasks", {"title": "Mirror", "minutes": "2000"}, "minutes, not 2000", 422),
    "no number": ("/areas/study/tasks", {"title": "Mirror", "minutes": "ten"}, "“ten” is no number", 422),
    "no name": ("/areas/study", {"name": "  "}, "has no name", 422),
    "same room": ("/areas/study/rooms", {"room": "Study"}, "no room of Study has yet", 422),
    "itself": ("/areas/study/merge", {"other": "study"}, "cannot be merged with itself", 422),
    "nothing": ("/areas/study/split", {"name": "New"}, "Choose a room or a task", 422),
    "no minutes a week": (
        "/areas/arrange",
        {"minutes_a_week": "0", "spot_minutes": "5"},
        "go from 1 to 1440, not 0",
        422,
    ),
    "no place": ("/areas/new", {"name": ""}, "has no name", 422),
    "skipped twice": ("/areas/weeks/skip", {"week": "2026-01-04"}, "lies in no week", 404),
    "the same week": (
        "/areas/weeks/swap",
        {"week": "2027-01-04", "other": "2027-01-05"},
        "Two different",
        422,
    ),
    "for years": ("/areas/weeks/declutter", {"weeks": "600"}, "from 1 to 520, not 600", 422),
}


@pytest.mark.parametrize("name", WRONG)
def test_what_cannot_be_is_said_on_the_page_and_nothing_is_lost(house: House, name: str) -> None:
    set_up(house)
    path, fields, said, status = WRONG[name]
    before = get(house, "/api/areas")
    shown = post(house, path, status, **fields)
    assert said in shown.one(id="trouble").text
    assert get(house, "/api/areas") == before
    typed = {box.attributes.get("value", "") for box in shown.every("input")} | {
        box.text for box in shown.every("textarea")
    }
    if path.endswith(("/tasks", "/rooms", "/split", "/arrange")):
        assert {value for key, value in fields.items() if key not in {"room", "way"}} <= typed


def test_a_task_is_changed_on_its_page(house: House) -> None:
    set_up(house)
    task = first_listed(house)
    path = f"/areas/hall/tasks/{task}"
    form = page(house, path).one("form", action=path)
    values = {box.attributes["name"]: box.attributes["value"] for box in form.every("input")}
    del values["seen"]
    assert values == {
        "title": "Test the smoke alarm, if one hangs here",
        "minutes": "5",
        "every_days": "30",
        "position": "1",
    }
    post(house, path, title="Test the alarm", minutes="6", every_days="", position="3", area="hall")
    third = get(house, "/api/areas/hall")["detail"][2]
    assert (third["task"], third["title"], third["minutes"], third["every_days"]) == (
        task,
        "Test the alarm",
        6,
        None,
    )
    wrong = post(house, path, 422, title="Alarms", minutes="long", area="hall")
    assert "“long” is no number" in wrong.one(id="trouble").text
    assert wrong.one("input", id="title").attributes["value"] == "Alarms"
    moved = post(house, path, title="Test the alarm", minutes="6", area="kitchen")
    assert moved.one("h1").text == "Kitchen"
    post(house, f"/areas/kitchen/tasks/{task}/remove")
    assert house.http.get(f"/areas/kitchen/tasks/{task}").status_code == 404


def test_the_last_area_stays_and_undo_past_the_beginning_is_said(house: House) -> None:
    set_up(house, ["Kitchen"])
    assert "There is no area" in post(house, "/areas/kitchen/remove", 422).one(id="trouble").text
    post(house, "/areas/undo")
    assert "no change of the areas left" in post(house, "/areas/undo", 409).one(id="trouble").text
    assert "Which rooms" in page(house, "/areas").one("h1").text
