"""From the rooms of a home to its areas: kinds asked for, minutes chosen, suggestions added and taken off."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from web.areas.forms import filled, form_with
from web.areas.house import get
from web.markup import Element, read

if TYPE_CHECKING:
    from web.house import House


def post(house: House, path: str, status: int = 200, **fields: Any) -> Element:  # noqa: ANN401  form fields
    answer = house.http.post(path, data=fields)
    assert answer.status_code == status, answer.text
    return read(answer.text) if status != 303 else read(house.http.get(answer.headers["location"]).text)


def sent_again(shown: Element, field: str, action: str = "") -> dict[str, list[str]]:
    """What a form of rooms holds, every room with its kind."""
    form = form_with(shown, field, action)
    names = ("room", "kind", "areas", "minutes", "told_room", "told_kind")
    return {
        name: [
            box.attributes.get("value", "")
            for box in form.every("input")
            if box.attributes.get("name") == name
        ]
        for name in names
    }


ASKED: dict[str, Any] = {"room": ["Kitchen"], "more": "Chapel, Robin's room\nVestry", "minutes": "30"}


def test_a_room_nobody_knows_is_asked_for_its_kind_and_nothing_typed_is_lost(house: House) -> None:
    asked = post(house, "/areas/proposal", **ASKED)
    assert asked.one("h1").text == "What kinds of rooms are these?"
    assert [label.text for label in asked.every("label")] == ["Chapel", "Vestry"]
    kinds = [option.attributes["value"] for option in asked.one("select", id="kind-2").every("option")]
    assert kinds == ["", *(kind["room"] for kind in get(house, "/api/rooms")), "none"]
    held = sent_again(asked, "kind")
    assert held["room"] == ["Kitchen", "Chapel", "Robin's room", "Vestry"]
    assert held["kind"] == ["kitchen", "bedroom"]
    assert held["minutes"] == ["30"]


def test_the_kinds_that_are_said_make_the_proposal_and_then_the_areas(house: House) -> None:
    rooms = ["Kitchen", "Chapel", "Robin's room", "Vestry"]
    kinds = ["kitchen", "none", "bedroom", "guest-room"]
    shown = post(house, "/areas/proposal", room=rooms, kind=kinds, minutes="30")
    told = [{"name": name, "kind": kind} for name, kind in zip(rooms, kinds, strict=True)]
    found = house.http.post("/api/areas/proposal", json={"rooms": told, "minutes_a_week": 30}).json()
    assert [item.one("h2").text for item in shown.every("li", "area")] == [
        one["name"] for one in found["areas"]
    ]
    post(house, "/areas/set-up", 303, **filled_rooms(shown))
    areas = get(house, "/api/areas")
    assert areas["minutes_a_week"] == 30
    assert [area["minutes"] for area in areas["areas"]] == [area["minutes"] for area in found["areas"]]


def filled_rooms(shown: Element) -> dict[str, Any]:
    form = form_with(shown, "request_id", "/areas/set-up")
    return filled(form) | {key: found for key, found in sent_again(shown, "request_id").items() if found}


def test_kinds_that_were_said_are_kept_while_the_rooms_are_changed(house: House) -> None:
    rooms, kinds = ["Chapel", "Kitchen"], ["none", "kitchen"]
    back = post(house, "/areas/rooms", room=rooms, kind=kinds, minutes="30")
    assert back.one("textarea").text == "Chapel"
    assert [box.attributes["value"] for box in back.every("input", checked="")] == ["Kitchen"]
    held = sent_again(back, "more")
    again = post(
        house,
        "/areas/proposal",
        room=["Kitchen"],
        more="Chapel\nHall",
        told_room=held["told_room"],
        told_kind=held["told_kind"],
        minutes="30",
    )
    assert len(list(again.every("form", action="/areas/set-up"))) == 1


def test_a_room_that_is_asked_for_is_not_set_up_before_that_is_said(house: House) -> None:
    asked = post(house, "/areas/set-up", room=["Kitchen", "Chapel"])
    assert asked.one("h1").text == "What kind of room is it?"
    assert get(house, "/api/areas")["areas"] == []


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"minutes": "0"}, "The minutes a week go from 1 to 1440, not 0"),
        ({"minutes": "many"}, "“many” is no number"),
        ({"kind": ["moon"]}, "There is no kind of room “moon”"),
    ],
)
def test_what_cannot_be_proposed_is_said_with_the_rooms_kept(
    house: House, fields: dict[str, Any], said: str
) -> None:
    answer = house.http.post("/areas/proposal", data={"room": ["Kitchen"], "more": "Chapel", **fields})
    shown = read(answer.text)
    assert said in shown.one(id="trouble").text
    assert shown.one("textarea").text == "Chapel"


def test_a_home_of_one_room_has_one_area_with_its_list(house: House) -> None:
    shown = post(house, "/areas/proposal", more="My studio")
    assert "One room makes one area." in shown.text
    post(house, "/areas/set-up", 303, **filled_rooms(shown))
    (area,) = get(house, "/api/areas")["areas"]
    assert (area["name"], area["visits"]) == ("My studio", 4)
    assert area["detail"]
    assert area["suggestions"]


def test_a_suggestion_is_added_and_another_taken_off_with_one_tap_each(house: House) -> None:
    house.http.post("/api/areas/set-up", json={"rooms": ["Kitchen"]})
    before = get(house, "/api/areas/kitchen")
    first, second, *others = [task["task"] for task in before["suggestions"]]
    shown = read(house.http.get("/areas/kitchen").text)
    fold = shown.one("details", id="suggestions")
    assert "open" not in fold.attributes
    assert [form.attributes["action"] for form in fold.every("form")][:2] == [
        f"/areas/kitchen/tasks/{first}/add", f"/areas/kitchen/tasks/{first}/take-off"
    ]  # fmt: skip
    added = post(house, f"/areas/kitchen/tasks/{first}/add", 303)
    assert "Added to the list." in added.one("p", "said").text
    assert "open" in added.one("details", id="suggestions").attributes
    post(house, f"/areas/kitchen/tasks/{second}/take-off", 303)
    after = get(house, "/api/areas/kitchen")
    assert [task["task"] for task in after["suggestions"]] == others
    assert {task["task"] for task in after["detail"]} == {first} | {task["task"] for task in before["detail"]}
    gone = house.http.post(f"/areas/kitchen/tasks/{first}/add")
    assert (gone.status_code, "There is no suggestion" in gone.text) == (404, True)


def test_an_older_page_does_not_take_a_suggestion_off_that_was_added_meanwhile(house: House) -> None:
    house.http.post("/api/areas/set-up", json={"rooms": ["Kitchen"]})
    task = get(house, "/api/areas/kitchen")["suggestions"][0]["task"]
    post(house, f"/areas/kitchen/tasks/{task}/add", 303)
    answer = house.http.post(f"/areas/kitchen/tasks/{task}/take-off")
    assert (answer.status_code, "put on the list meanwhile" in answer.text) == (404, True)
    assert task in {one["task"] for one in get(house, "/api/areas/kitchen")["detail"]}


def test_a_list_that_is_full_says_so_on_the_area_when_a_suggestion_is_added(house: House) -> None:
    full = {"name": "Attic", "detail": [{"title": "Dust", "minutes": 1}] * 200}
    house.http.put(
        "/api/areas", json={"areas": [{**full, "suggestions": [{"title": "Beams", "minutes": 5}]}]}
    )
    (task,) = (one["task"] for one in get(house, "/api/areas/attic")["suggestions"])
    shown = post(house, f"/areas/attic/tasks/{task}/add", 422)
    assert "A list holds at most 200" in shown.one(id="trouble").text
    assert shown.one("h1").text == "Attic"


def test_a_task_is_put_aside_on_its_page(house: House) -> None:
    house.http.post("/api/areas/set-up", json={"rooms": ["Kitchen"]})
    task = get(house, "/api/areas/kitchen")["detail"][0]["task"]
    shown = read(house.http.get(f"/areas/kitchen/tasks/{task}").text)
    assert len(list(shown.every("form", action=f"/areas/kitchen/tasks/{task}/set-aside"))) == 1
    post(house, f"/areas/kitchen/tasks/{task}/set-aside", 303)
    assert task in {one["task"] for one in get(house, "/api/areas/kitchen")["suggestions"]}
    other = read(house.http.get(f"/areas/kitchen/tasks/{task}").text)
    assert "set-aside" not in {form.attributes["action"].rpartition("/")[2] for form in other.every("form")}


def test_a_room_is_added_with_the_kind_that_is_chosen(house: House) -> None:
    house.http.post("/api/areas/set-up", json={"rooms": ["Kitchen"]})
    asked = post(house, "/areas/kitchen/rooms", 422, room="Chapel", kind="")
    assert "What kind of room is Chapel?" in asked.one(id="trouble").text
    assert asked.one("input", id="room").attributes["value"] == "Chapel"
    post(house, "/areas/kitchen/rooms", 303, room="Chapel", kind="toilet")
    assert any("Chapel: " in task["title"] for task in get(house, "/api/areas/kitchen")["detail"])


def test_a_program_is_told_which_rooms_to_ask_for(house: House) -> None:
    answer = house.http.post("/api/areas/set-up", json={"rooms": ["Kitchen", "Chapel", {"name": "Crypt"}]})
    assert answer.status_code == 422
    assert [one["field"] for one in answer.json()["fields"]] == ["rooms/1", "rooms/2"]
    found = house.http.post("/api/areas/proposal", json={"rooms": ["Kitchen", "Chapel"]}).json()
    assert (found["unknown"], found["kinds"]) == (["Chapel"], ["kitchen", None])
