"""Dinner, shopping, desk and quick line as pages: they show what the JSON tells, and lose nothing typed."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from web.kitchen.kitchen import a_full_week, ask
from web.markup import Element, read

if TYPE_CHECKING:
    from web.house import House

PAGES = (
    "/dinner",
    "/dinner/2027-W05",
    "/dinner/2026-W50",
    "/dinner/favourites",
    "/shopping",
    "/desk",
    "/quick",
    "/quick?line=renew+library+card+fri",
)
TUESDAY = "2027-01-05"


def see(house: House, path: str) -> Element:
    """A page, read."""
    return read(house.http.get(path).text)


def send(house: House, path: str, **data: Any) -> str:  # noqa: ANN401  text or several texts
    """Send a form, and give the address it leads to."""
    answer = house.http.post(path, data=data)
    assert answer.status_code == 303, answer.text
    return answer.headers["location"]


def refused(house: House, path: str, data: dict[str, str]) -> Element:
    """Send a form that cannot be used, and read the page that comes back."""
    answer = house.http.post(path, data=data)
    assert answer.status_code == 422, answer.text
    return read(answer.text)


def values(page: Element) -> dict[str, str]:
    """What the fields of a page's forms hold, as a browser would send it."""
    found: dict[str, str] = {}
    for field in page.every():
        name = field.attributes.get("name")
        if name is None or field.tag not in {"input", "select", "textarea"}:
            continue
        if field.tag == "textarea":
            found[name] = "".join(part for part in field.inside if isinstance(part, str))
        elif field.tag == "select":
            options = [one for one in field.every("option") if "selected" in one.attributes]
            found[name] = options[0].attributes["value"] if options else ""
        elif field.attributes.get("type") not in {"radio", "checkbox"} or "checked" in field.attributes:
            found[name] = field.attributes.get("value", "")
    return found


@pytest.mark.parametrize("path", PAGES)
@pytest.mark.parametrize("full", [False, True])
def test_every_page_has_one_heading_labels_and_no_inline_script_or_style(
    house: House, path: str, *, full: bool
) -> None:
    if full:
        a_full_week(house)
    page = see(house, path)
    assert len(list(page.every("h1"))) == 1
    assert not any("style" in one.attributes or "onclick" in one.attributes for one in page.every())
    assert all("src" in one.attributes for one in page.every("script"))
    labelled = {one.attributes["for"] for one in page.every("label") if "for" in one.attributes}
    ids = [one.attributes["id"] for one in page.every() if "id" in one.attributes]
    assert len(ids) == len(set(ids))
    for tag in ("input", "select", "textarea"):
        for one in page.every(tag):
            if one.attributes.get("type") not in {"hidden", "radio", "checkbox"}:
                assert one.attributes["id"] in labelled, one


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
    assert page.one("textarea").inside == [found["text"]]


def test_the_desk_shows_what_the_json_tells(house: House) -> None:
    a_full_week(house)
    desk, todos, page = ask(house, "GET", "/api/dues"), ask(house, "GET", "/api/to-dos"), see(house, "/desk")
    dues = [(one.one("p", "item").text, one.one("p", "aside").text) for one in page.every("li", "due-line")]
    told = [
        (one["name"], one["text"] + (f" · {one['amount']}" if one["amount"] else ""))
        for one in (*desk["now"], *desk["coming"])
    ]
    assert dues[: len(told)] == told
    shown = [one.one("p", "item").text for one in page.every("li", "todo-line")]
    errands = [todo["title"] for place in todos["errands"] for todo in place["todos"]]
    put_off = [todo["title"] for todo in todos["put_off"]]
    assert shown == [*(todo["title"] for todo in todos["open"]), *put_off, *errands]
    assert [one.text for one in page.every("h3")] == [place["place"] for place in todos["errands"]]


def test_the_quick_line_says_back_what_the_json_tells(house: House) -> None:
    told = ask(house, "GET", "/api/quick?line=errand:+stamps+at+the+post+office")
    page = see(house, "/quick?line=errand:+stamps+at+the+post+office")
    assert told["text"] in page.text
    fields = values(page)
    assert {name: fields[name] for name in ("kind", "title", "on", "place")} == {
        "kind": "errand", "title": told["title"], "on": "", "place": told["place"],
    }  # fmt: skip


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
    tick = {"key": "g|rice", "tick": "in-basket", "days": "14"}
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
        ("/dinner/favourites", "None yet. Write one down below"),
        ("/shopping", "No dinner is planned for these days"),
        ("/desk", "No bill, renewal or appointment is written down yet"),
        ("/desk", "What comes to mind can go into the line above"),
    ],
)
def test_an_empty_page_says_what_to_do_next(house: House, path: str, said: str) -> None:
    assert said in see(house, path).text


def test_a_list_without_ingredients_says_where_they_go(house: House) -> None:
    ask(house, "PUT", f"/api/dinners/{TUESDAY}", {"dish": "Toast"})
    assert "list no ingredients" in see(house, "/shopping").text


def test_a_due_is_written_down_changed_settled_and_taken_off(house: House) -> None:
    form = {"name": "Rent", "on": "2027-01-31", "repeats": "monthly", "needs": "", "amount": "900"}
    assert send(house, "/desk/dues", **form) == "/desk?said=written-down"
    [due] = ask(house, "GET", "/api/dues")["dues"]
    address = f"/desk/dues/{due['id']}"
    assert due["repeats_text"] == "every month on day 31, or on the last day of a shorter month"
    shown = values(see(house, address))
    assert shown == form | {"needs": "3"}
    send(house, address, **(shown | {"amount": "950"}))
    assert ask(house, "GET", "/api/dues")["dues"][0]["amount"] == "950"
    assert send(house, f"{address}/settled/2027-01-31", back="today") == "/today?said=settled"
    assert send(house, f"{address}/settled/2027-01-31", settled="no") == "/desk?said=open-again"
    send(house, f"{address}/remove")
    assert house.http.get(address).status_code == 404


def test_a_rule_that_is_no_choice_stays_as_it_is(house: House) -> None:
    rule = "FREQ=MONTHLY;BYDAY=1FR"
    place = house.http.post("/api/dues", json={"name": "Club", "on": "2027-01-08", "repeats": rule}).headers
    address = place["location"].replace("/api/", "/desk/")
    form = values(see(house, address))
    assert form["repeats"] == "as-is"
    send(house, address, **(form | {"name": "The club"}))
    assert ask(house, "GET", "/api/dues")["dues"][0]["repeats"] == rule


def test_a_due_on_30_february_comes_back_with_everything_typed(house: House) -> None:
    form = {"name": "Tax", "on": "2027-02-30", "repeats": "yearly", "needs": "10", "amount": "12"}
    page = refused(house, "/desk/dues", form)
    assert {name: values(page)[name] for name in form} == form
    assert page.one("p", id="due-on-fault").text.startswith("“2027-02-30” is not a date")
    ask(house, "POST", "/api/dues", {"name": "Tax", "on": "2027-02-28"})
    page = refused(house, "/desk/dues/20270104-0001", form | {"needs": "x"})
    assert {one.attributes["id"] for one in page.every("p", "fault")} == {"due-on-fault", "due-needs-fault"}


def test_ten_thousand_lines_pasted_at_once_come_back_with_the_reason(house: House) -> None:
    lines = "\n".join(f"Thing to do number {number}" for number in range(10_000))
    page = refused(house, "/desk/to-dos", {"lines": lines, "kind": "put-off"})
    assert page.one("p", id="lines-fault").text == (
        "These are 10,000 things to do. Add at most 200 at once; nothing was added."
    )
    assert values(page)["lines"] == lines
    assert values(page)["kind"] == "put-off"
    assert ask(house, "GET", "/api/to-dos")["put_off"] == []


def test_to_dos_are_pasted_changed_picked_done_and_taken_off(house: House) -> None:
    send(house, "/desk/to-dos", lines="Mirror\nTap\nStamps", kind="put-off", place="")
    mirror, tap, stamps = (todo["id"] for todo in ask(house, "GET", "/api/to-dos")["put_off"])
    form = values(see(house, f"/desk/to-dos/{stamps}")) | {"kind": "errand", "place": "Post office"}
    assert send(house, f"/desk/to-dos/{stamps}", **form) == "/desk?said=saved"
    assert ask(house, "GET", "/api/to-dos")["errands"][0]["place"] == "Post office"
    assert send(house, "/desk/picked", todo=tap, back="today") == "/today?said=picked"
    assert ask(house, "GET", "/api/to-dos")["picked"]["id"] == tap
    assert send(house, f"/desk/to-dos/{tap}/done") == "/desk?said=done"
    assert send(house, f"/desk/to-dos/{tap}/done", done="no") == "/desk?said=open-again"
    send(house, f"/desk/to-dos/{mirror}/remove")
    assert house.http.get(f"/desk/to-dos/{mirror}").status_code == 404


def test_a_to_do_without_words_is_asked_again(house: House) -> None:
    ask(house, "POST", "/api/to-dos", {"titles": ["Stamps"]})
    page = refused(
        house, "/desk/to-dos/20270104-0001", {"title": " ", "kind": "errand", "place": "Post office"}
    )
    assert "has no name" in page.one(id="trouble").text
    assert values(page)["place"] == "Post office"


def test_the_quick_line_works_in_two_steps(house: House) -> None:
    page = see(house, "/quick?line=renew+library+card+fri&back=desk")
    form = values(page)
    assert page.one("a", "button").attributes["href"] == "/desk"
    assert send(house, "/quick", **form) == "/desk?said=written-down"
    assert ask(house, "GET", "/api/dues")["coming"][0]["on"] == "2027-01-08"


def test_a_line_that_cannot_be_read_stays_in_its_field(house: House) -> None:
    answer = house.http.get("/quick?line=tax+30+feb")
    page = read(answer.text)
    assert (answer.status_code, values(page)["line"]) == (422, "tax 30 feb")
    assert page.one("p", id="quick-line-fault").text.startswith("There is no date “30 feb”")


def test_what_cannot_be_saved_stays_in_its_fields(house: House) -> None:
    form = {"kind": "due", "title": "Tax", "on": "", "place": "", "line": "due: tax fri", "back": "desk"}
    page = refused(house, "/quick", form)
    assert values(page) == form
    assert page.one("p", id="quick-on-fault").text.startswith("When is it due?")


def test_htmx_gets_the_part_alone(house: House) -> None:
    answer = house.http.get("/quick?line=ring+school", headers={"hx-request": "true"})
    page = read(answer.text)
    assert "To do: ring school." in page.text
    assert not list(page.every("h1"))
