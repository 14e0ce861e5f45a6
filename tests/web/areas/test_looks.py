"""The areas as one sees them: a hatch each, other minutes in one tap, and what to do where nothing is."""

from __future__ import annotations

import re
from itertools import combinations
from typing import TYPE_CHECKING

import pytest

from coach.web.rendering import HERE
from web.areas.forms import filled
from web.areas.house import SHARED, first_listed, get, set_up
from web.areas.test_pages import page, post

if TYPE_CHECKING:
    from web.house import House
    from web.markup import Element

MOTIFS = HERE / "templates" / "parts" / "motifs.html"
MANY = ["Hall", "Kitchen", "Living room", "Bathroom", "Bedroom", "Study", "Laundry", "Cellar", "Garage"]


def hatches(part: Element) -> list[str]:
    """The hatches that a part of a page is filled with, in order."""
    return [
        rect.attributes["fill"] for rect in part.every("rect") if "url" in rect.attributes.get("fill", "")
    ]


def test_twelve_hatches_differ_in_their_shapes_and_not_in_colour_alone() -> None:
    source = MOTIFS.read_text()
    listed = source[source.index("set HATCHES = [") : source.index("] %}", source.index("set HATCHES = ["))]
    shapes = [re.sub(r' class="\w+"', "", shape) for shape in re.findall(r"'(<.*?>)'", listed)]
    assert len(shapes) == 12
    assert all(one != other for one, other in combinations(shapes, 2))
    assert "clay" not in listed


def test_an_area_has_one_hatch_on_every_page(house: House) -> None:
    set_up(house)
    house.sleep(7)
    overview, week, weeks = (page(house, path) for path in ("/areas", "/areas/week", "/areas/weeks"))
    numbers = {area["area"]: area["number"] for area in get(house, "/api/areas")["areas"]}
    told = get(house, "/api/area-week")["areas"][0]
    assert told["number"] == numbers[told["area"]] > 1
    one = page(house, f"/areas/{told['area']}")
    for part in (
        week.one("div", "heading"),
        overview.one("section", "turn-now"),
        weeks.one("li", "turn"),
        one.one("div", "heading"),
    ):
        assert hatches(part) == [f"url(#area-{told['number']})"]
    assert [hatches(row) for row in overview.every("li", "area")] == [
        [f"url(#area-{number})"] for number in numbers.values()
    ]


def test_a_shared_week_has_the_hatch_of_each_area(house: House) -> None:
    set_up(house)
    house.http.patch("/api/areas", json={"mode": "month"})
    house.sleep(21)
    week = page(house, "/areas/week")
    assert [hatches(part) for part in week.every("section", "slot")] == [
        [f"url(#area-{area['number']})"] for area in get(house, "/api/area-week")["areas"]
    ]


@pytest.mark.parametrize("mode", ["continuous", "month", "need"])
def test_other_minutes_a_week_are_one_tap_and_make_as_many_weeks_as_was_said(house: House, mode: str) -> None:
    set_up(house, MANY)
    changes = {
        "mode": mode,
        "minutes_a_week": 40,
        "way": "both",
        "area_days": ["TU", "FR"],
        "spot_minutes": 7,
    }
    assert house.http.patch("/api/areas", json=changes).is_success
    note = page(house, "/areas").one("details", "enough-note")
    whole = max(area["weeks"] for area in get(house, "/api/areas")["areas"])
    assert f"it takes {whole} weeks until everything on the lists has been finished once" in note.text
    offered = [button.text for button in note.every("button")]
    assert [text.partition(":")[0] for text in offered] == ["60 minutes a week", "80 minutes a week"]
    form = note.one("form", action="/areas/arrange")
    days = [box.attributes["value"] for box in form.every("input") if box.attributes["name"] == "area_days"]
    sent = {**filled(form), "area_days": days, "minutes_a_week": "60"}
    post(house, "/areas/arrange", **sent)
    after = get(house, "/api/areas")
    weeks = max(area["weeks"] for area in after["areas"])
    assert offered[0] == f"60 minutes a week: {weeks} weeks"
    assert weeks < whole
    assert {key: after[key] for key in changes} == {**changes, "minutes_a_week": 60}


def test_a_proposal_says_how_long_all_of_it_takes_and_offers_other_minutes_in_one_tap(house: House) -> None:
    shown = post(house, "/areas/proposal", 200, room=MANY)
    assert re.search(r"so all of it is finished once in about \d+ weeks\.", shown.text)
    buttons = [one for one in shown.every("button") if one.attributes.get("name") == "minutes"]
    assert [one.text for one in buttons] == ["60 minutes a week", "80 minutes a week"]
    form = next(one for one in shown.every("form", action="/areas/proposal") if list(one.every("button")))
    kinds = [box.attributes["value"] for box in form.every("input") if box.attributes["name"] == "room"]
    again = post(house, "/areas/proposal", 200, room=kinds, minutes="60")
    assert "at 60 minutes a week" in again.text


def test_the_order_stays_open_for_the_next_move(house: House) -> None:
    set_up(house)
    assert "open" not in page(house, "/areas").one(id="order").attributes
    moved = post(house, "/areas/kitchen/place", to="later")
    assert "open" in moved.one(id="order").attributes
    assert "Moved. The order holds from this week on." in moved.one("p", "said").text
    names = [area["name"] for area in get(house, "/api/areas")["areas"]]
    assert [row.one("span").text for row in moved.one(id="order").every("li")] == names


def test_a_list_that_is_finished_says_so_and_whose_turn_is_next(house: House) -> None:
    set_up(house, ["Kitchen"])
    for task in get(house, "/api/area-week")["areas"][0]["listed"]:
        assert house.http.put(f"/api/days/{house.today}/tasks/{task['task']}").is_success
    shown = page(house, "/areas/week")
    empty = shown.one("div", "empty")
    assert "The list of this week is finished." in empty.text
    assert list(empty.every("svg", "line-drawing"))
    assert all("open" not in fold.attributes for fold in shown.every("details", "more"))


def test_a_free_week_and_an_empty_area_say_what_to_do_next(house: House) -> None:
    set_up(house)
    house.http.post("/api/rotation/skip", json={"week": str(house.today)})
    free = page(house, "/areas/week").one("div", "empty")
    assert free.one("p").text == "This week is left free."
    assert free.one("a").attributes["href"] == "/areas/weeks"
    house.http.put("/api/areas", json={"areas": [{"name": "Attic", "rooms": ["Attic"]}]})
    house.http.post("/api/rotation/skip", json={"week": "2027-01-11"})
    bare = page(house, "/areas/attic").one("li", "empty")
    assert bare.one("a").attributes["href"] == "#task-title"


def test_a_week_away_is_said_once_and_draws_no_turn(house: House) -> None:
    set_up(house)
    assert house.http.post("/api/pause", json={"from": "2027-01-11", "until": "2027-01-17"}).is_success
    weeks = get(house, "/api/rotation")["weeks"]
    shown = list(page(house, "/areas/weeks").one("ol", "turns").every("li", "turn"))
    away = [item for item, week in zip(shown, weeks, strict=True) if week["kind"] == "away"]
    (text,) = [week["text"] for week in weeks if week["kind"] == "away"]
    assert [item.text.count(text) for item in away] == [1]
    assert hatches(away[0]) == []


def test_what_is_finished_is_called_so(house: House) -> None:
    set_up(house)
    task = first_listed(house)
    before = page(house, "/areas/week").one("li", id=f"list-{task}")
    assert before.one("button").text == "Finished"
    answer = house.http.post(
        f"/areas/week/tasks/{task}",
        data={"on": str(house.today), "mark": "done"},
        headers={"hx-request": "true"},
    )
    assert "Marked as finished." in answer.text
    assert not re.search(r">\s*Done\b", answer.text)


def test_no_date_in_a_sentence_is_written_with_hyphens(house: House) -> None:
    set_up(house)
    house.http.patch("/api/areas", json={"mode": "month"})
    house.http.post("/api/rotation/swap", json={"week": "2027-01-04", "other": "2027-01-11"})
    for path in ("/areas", "/areas/week", "/areas/weeks", "/areas/kitchen"):
        assert not re.search(r"\d{4}-\d\d-\d\d", page(house, path).one("main").text), path
    assert len(SHARED) == len(list(page(house, "/areas").every("li", "area")))
