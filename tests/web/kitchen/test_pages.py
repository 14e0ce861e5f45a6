"""Dinners, favourites and shopping as pages: they show what the JSON tells, and lose nothing typed."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from web.forms import refused, see, send, values
from web.kitchen.full_week import a_full_week, ask
from web.markup import read

if TYPE_CHECKING:
    from web.house import House

TUESDAY = "2027-01-05"


def test_the_week_shows_what_the_json_tells(house: House) -> None:
    a_full_week(house)
    week, page = ask(house, "GET", "/api/dinners"), see(house, "/dinner")
    fields = values(page)
    for day in week["days"]:
        assert fields[f"{day['date']}-dish"] == (day["dinner"]["dish"] if day["dinner"] else "")
        assert fields[f"{day['date']}-seen"] == day["seen"]
    shown = [item.one("p", "subject").text for item in page.one("section", "freezer").every("li", "move")]
    moves = [move for name in ("behind", "today", "tomorrow") for move in week["moves"][name]]
    assert shown == [f"{move['item']['name']}, {move['item']['weight']}" for move in moves]
    for move in moves:
        assert move["item"]["text"] in page.text
        assert all(way in page.text for way in move["item"]["instead"])
    assert week["moves"]["caution"]["text"] in page.text
    assert all(one["dish"] in page.text for one in week["favourites"])


def test_the_list_shows_what_the_json_tells(house: House) -> None:
    a_full_week(house)
    found, page = ask(house, "GET", "/api/shopping"), see(house, "/shopping")
    items = [*found["to_buy"], *found["in_basket"], *found["at_home"]]
    assert [one.text for one in page.every("p", "item")] == [item["text"] for item in items]
    assert page.one("textarea", id="as-text").inside == [found["text"]]


@pytest.mark.parametrize("on", [TUESDAY, "2027-01-10", "2027-02-02"])
def test_the_caution_stands_beside_thawing_in_any_week(house: House, on: str) -> None:
    frozen = [{"name": "beef", "weight": "1 kg", "kind": "cut"}]
    caution = ask(house, "PUT", f"/api/dinners/{on}", {"dish": "Stew", "frozen": frozen})["caution"]
    page = see(house, "/dinner/2027-W05" if on == "2027-02-02" else "/dinner")
    assert page.text.count(caution["text"]) == 1
    assert f"Source: {caution['source']}" in page.text


def test_a_week_is_planned_in_one_form(house: House) -> None:
    fields = values(see(house, "/dinner"))
    fields |= {
        f"{TUESDAY}-dish": "Chicken soup",
        f"{TUESDAY}-ingredients": "400 g rice\n1 onion",
        f"{TUESDAY}-frozen-1-name": "chicken",
        f"{TUESDAY}-frozen-1-weight": "3 lb",
        f"{TUESDAY}-frozen-1-kind": "poultry",
        f"{TUESDAY}-keep": "yes",
        "2027-01-07-dish": "Pancakes",
    }
    assert send(house, "/dinner", **fields) == "/dinner?said=dinners-planned"
    week = ask(house, "GET", "/api/dinners")
    assert [day["dinner"]["dish"] if day["dinner"] else None for day in week["days"]] == [
        None, "Chicken soup", None, "Pancakes", None, None, None,
    ]  # fmt: skip
    assert [one["dish"] for one in week["favourites"]] == ["Chicken soup"]
    assert week["days"][1]["dinner"]["frozen"][0]["weight"] == "3 lb"


def test_the_form_as_it_is_shown_changes_nothing(house: House) -> None:
    a_full_week(house)
    before = ask(house, "GET", "/api/dinners")
    version = house.app.state.context.store.version("home").version
    send(house, "/dinner", **values(see(house, "/dinner")))
    assert ask(house, "GET", "/api/dinners") == before
    assert house.app.state.context.store.version("home").version == version


def test_another_week_leads_back_to_itself(house: House) -> None:
    assert send(house, "/dinner", **{"2027-02-02-dish": "Soup"}) == "/dinner/2027-W05?said=dinners-planned"


def test_a_weight_of_a_lot_comes_back_with_everything_typed_and_the_fault_beside_its_field(
    house: House,
) -> None:
    typed = {
        **values(see(house, "/dinner")),
        f"{TUESDAY}-dish": "Soup",
        f"{TUESDAY}-time": "19:15",
        f"{TUESDAY}-cooking": "75",
        f"{TUESDAY}-ingredients": "400 g rice",
        f"{TUESDAY}-frozen-1-name": "chicken",
        f"{TUESDAY}-frozen-1-weight": "a lot",
        f"{TUESDAY}-frozen-1-kind": "cut",
        f"{TUESDAY}-keep": "yes",
        "2027-01-06-dish": "Pie",
    }
    page = refused(house, "/dinner", typed)
    assert {name: text for name, text in values(page).items() if name in typed} == typed
    field = page.one("input", id=f"{TUESDAY}-frozen-1-weight")
    assert field.attributes["aria-invalid"] == "true"
    fault = page.one("p", id=field.attributes["aria-describedby"])
    assert fault.text == "“a lot” is not a weight. Write it in kg or lb, such as 1.2 kg or 14 lb."
    assert page.one(id="trouble").one("a").attributes["href"] == f"#{TUESDAY}-frozen-1-weight"
    folded = next(one for one in page.every("details") if any(one.every("p", id=fault.attributes["id"])))
    assert "open" in folded.attributes
    assert all(day["dinner"] is None for day in ask(house, "GET", "/api/dinners")["days"])


def test_a_dinner_in_the_past_comes_back_with_what_was_typed(house: House) -> None:
    house.sleep(2)
    page = refused(
        house, "/dinner", {"week": "2027-W01", f"{TUESDAY}-dish": "Soup", "2027-01-08-dish": "Pie"}
    )
    assert values(page)[f"{TUESDAY}-dish"] == "Soup"
    assert values(page)["2027-01-08-dish"] == "Pie"
    assert page.one("p", id=f"{TUESDAY}-dish-fault").text.startswith("Tuesday 5 January 2027 is over")


def test_past_days_are_only_read(house: House) -> None:
    a_full_week(house)
    house.sleep(1)
    page = see(house, "/dinner")
    assert [one.one("p").text for one in page.every("section", "over")] == ["Fish pie"]
    assert not list(see(house, "/dinner/2026-W50").every("form"))


def test_todays_question_is_answered_in_a_few_words_or_with_a_favourite(house: House) -> None:
    assert send(house, "/dinner/2027-01-04/dish", dish="Toast") == "/today?said=dinners-planned"
    assert ask(house, "GET", "/api/dinners/2027-01-04")["dinner"]["dish"] == "Toast"
    ask(house, "POST", "/api/favourites", {"dish": "Pancakes"})
    send(house, "/dinner/2027-01-06/dish", favourite="pancakes")
    assert ask(house, "GET", "/api/dinners/2027-01-06")["dinner"]["dish"] == "Pancakes"
    assert send(house, "/dinner/2027-01-07/dish", dish=" ") == "/today"


def test_an_answer_sent_after_the_day_is_over_keeps_the_words_for_today(house: House) -> None:
    house.sleep()
    page = refused(house, "/dinner/2027-01-04/dish", {"dish": "Toast"})
    assert values(page)[f"{TUESDAY}-dish"] == "Toast"
    assert "Monday 4 January 2027 is over" in page.one(id="trouble").text


def test_moved_is_one_tap_and_can_be_undone(house: House) -> None:
    a_full_week(house)
    address = f"/dinner/{TUESDAY}/frozen/1"
    assert send(house, address, left="yes", back="today") == "/today?said=left-freezer"
    assert "It left the freezer today." in see(house, "/dinner").text
    assert send(house, address, left="no") == "/dinner?said=left-freezer"


def test_favourites_are_kept_changed_put_and_taken_off(house: House) -> None:
    send(house, "/dinner/favourites", favourite="new_dish", **{"new_dish-dish": "Pancakes"})
    form = values(see(house, "/dinner/favourites").one("details"))
    send(house, "/dinner/favourites", **(form | {"pancakes-dish": "Thin pancakes"}))
    send(house, "/dinner/favourites/pancakes/put", on=TUESDAY)
    assert ask(house, "GET", f"/api/dinners/{TUESDAY}")["dinner"]["dish"] == "Thin pancakes"
    send(house, "/dinner/favourites/pancakes/remove")
    assert ask(house, "GET", "/api/favourites") == {"favourites": []}


def test_a_favourite_with_a_fault_comes_back_as_it_was_typed(house: House) -> None:
    ask(house, "POST", "/api/favourites", {"dish": "Pancakes"})
    typed = {"pancakes-dish": "Roast", "pancakes-frozen-1-name": "joint", "pancakes-frozen-1-weight": "a lot"}
    page = refused(house, "/dinner/favourites", {"favourite": "pancakes", **typed})
    assert {name: values(page)[name] for name in typed} == typed
    assert "“a lot” is not a weight" in page.one("p", id="pancakes-frozen-1-weight-fault").text
    page = refused(house, "/dinner/favourites/pancakes/put", {"on": "2027-01-03"})
    assert "Sunday 3 January 2027 is over" in page.one(id="trouble").text


def test_the_list_is_ticked_with_and_without_a_reload(house: House) -> None:
    a_full_week(house)
    tick = {"key": "rice", "tick": "in-basket", "days": "14"}
    assert send(house, "/shopping", **tick) == "/shopping?days=14"
    answer = house.http.post("/shopping", data=tick | {"tick": "none"}, headers={"hx-request": "true"})
    part = read(answer.text)
    assert part.one("p", "item").text == "1000 g rice"
    assert not list(part.every("h1"))


def test_the_shared_text_is_plain(house: House) -> None:
    ask(house, "PUT", f"/api/dinners/{TUESDAY}", {"dish": "Soup", "ingredients": ["<b>1 leek</b>"]})
    answer = house.http.get("/shopping.txt")
    assert answer.headers["content-type"] == "text/plain; charset=utf-8"
    assert answer.text == "- <b>1 leek</b>\n"
    assert "<b>" not in house.http.get("/shopping").text


@pytest.mark.parametrize(
    ("path", "said"),
    [
        ("/dinner/favourites", "None yet. Write down the dish"),
        ("/shopping", "No dinner is planned for these days"),
    ],
)
def test_an_empty_page_says_what_to_do_next(house: House, path: str, said: str) -> None:
    assert said in see(house, path).text


def test_a_list_without_ingredients_says_where_they_go(house: House) -> None:
    ask(house, "PUT", f"/api/dinners/{TUESDAY}", {"dish": "Toast"})
    assert "list no ingredients" in see(house, "/shopping").text


def test_lines_are_written_on_the_list_ticked_changed_cleared_and_taken_off(house: House) -> None:
    assert send(house, "/shopping/lines", lines="soap\n1 kg rice\n500 g rice", days="7") == (
        "/shopping?said=written-down"
    )
    page = see(house, "/shopping?said=written-down")
    assert [one.text for one in page.every("p", "item")] == ["soap", "1.5 kg rice"]
    soap, rice = ask(house, "GET", "/api/shopping")["to_buy"]
    assert list(page.every("form", action="/shopping/clear")) == []
    ask(house, "PUT", "/api/shopping", {"key": "soap", "tick": "in-basket"})
    form = see(house, "/shopping?days=14").one("form", action="/shopping/clear")
    hidden = {one.attributes["name"]: one.attributes["value"] for one in form.every("input", type="hidden")}
    assert hidden == {"days": "14", "line": soap["written"][0]["id"]}
    assert send(house, "/shopping/clear", line=soap["written"][0]["id"], days="14") == (
        "/shopping?days=14&said=cleared"
    )
    address = f"/shopping/lines/{rice['written'][0]['id']}"
    shown = values(see(house, address))
    assert shown["text"] == "1 kg rice"
    assert send(house, address, **(shown | {"text": "2 kg rice"})) == "/shopping?said=saved"
    assert ask(house, "GET", "/api/shopping")["text"] == "- 2.5 kg rice\n"
    assert send(house, f"{address}/remove") == "/shopping?said=taken-off"
    assert house.http.get(address).status_code == 404
    assert ask(house, "GET", "/api/shopping")["text"] == "- 500 g rice\n"


def test_lines_that_cannot_be_kept_come_back_as_they_were_typed(house: House) -> None:
    typed = "soap\n" + "x" * 201
    page = refused(house, "/shopping/lines", {"lines": typed, "days": "7"})
    assert page.one("p", id="lines-fault").text.startswith("Line 2 has 201 characters")
    assert values(page)["lines"] == typed
    assert ask(house, "GET", "/api/shopping")["to_buy"] == []


def test_a_line_two_people_change_is_asked_about(house: House) -> None:
    line = ask(house, "POST", "/api/shopping/lines", {"lines": ["soap"]})["to_buy"][0]["written"][0]["id"]
    shown = values(see(house, f"/shopping/lines/{line}"))
    ask(house, "PUT", f"/api/shopping/lines/{line}", {"text": "2 soaps"})
    answer = house.http.post(f"/shopping/lines/{line}", data=shown | {"text": "3 soaps"})
    page = read(answer.text)
    assert (answer.status_code, values(page)["text"]) == (409, "3 soaps")
    assert "2 soaps" in page.one(id="both").text
    removed = house.http.post(f"/shopping/lines/{line}/remove", data={"seen": shown["seen"]})
    assert removed.status_code == 409
    assert ask(house, "GET", "/api/shopping")["text"] == "- 2 soaps\n"


def test_a_line_that_cannot_be_kept_so_is_asked_again(house: House) -> None:
    line = ask(house, "POST", "/api/shopping/lines", {"lines": ["soap"]})["to_buy"][0]["written"][0]["id"]
    page = refused(house, f"/shopping/lines/{line}", {"text": " "})
    assert page.one(id="trouble").text == "The line says nothing: name what is to be bought."
