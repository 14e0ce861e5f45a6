"""Desk and quick line as pages: they show what the JSON tells, and lose nothing typed."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from web.forms import refused, see, send, values
from web.kitchen.full_week import a_full_week, ask
from web.markup import read

if TYPE_CHECKING:
    from web.house import House


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


def test_a_due_is_written_down_changed_paid_and_taken_off(house: House) -> None:
    form = {"name": "Rent", "on": "2027-01-31", "repeats": "monthly", "needs": "", "amount": "900"}
    assert send(house, "/desk/dues", **form) == "/desk?said=written-down"
    [due] = ask(house, "GET", "/api/dues")["dues"]
    address = f"/desk/dues/{due['id']}"
    assert due["repeats_text"] == "every month on day 31, or on the last day of a shorter month"
    shown = values(see(house, address))
    assert {name: shown[name] for name in form} == form | {"needs": "3"}
    send(house, address, **(shown | {"amount": "950"}))
    assert ask(house, "GET", "/api/dues")["dues"][0]["amount"] == "950"
    assert send(house, f"{address}/seen-to/2027-01-31", back="today") == "/today?said=paid"
    assert send(house, f"{address}/seen-to/2027-01-31", seen_to="no") == "/desk?said=open-again"
    send(house, f"{address}/remove")
    assert house.http.get(address).status_code == 404


@pytest.mark.parametrize(("amount", "word", "said"), [("900", "Paid", "paid"), ("", "Seen to", "seen-to")])
def test_a_due_with_an_amount_is_paid_and_any_other_seen_to(
    house: House, amount: str, word: str, said: str
) -> None:
    place = house.http.post("/api/dues", json={"name": "Rent", "on": "2027-01-04", "amount": amount}).headers
    address = place["location"].replace("/api/", "/desk/")
    for path in ("/desk", "/today"):
        button = see(house, path).one("form", action=f"{address}/seen-to/2027-01-04").one("button")
        assert (button.text, button.attributes["aria-label"]) == (word, f"{word}: Rent, Monday 4 January")
    assert send(house, f"{address}/seen-to/2027-01-04") == f"/desk?said={said}"
    page = see(house, f"/desk?said={said}")
    assert page.one(id="said").text == f"{word}."
    assert f"Due Monday 4 January, {word.lower()} Monday 4 January" in page.text
    assert send(house, f"{address}/seen-to/2027-01-04") == f"/desk?said={said}"
    assert send(house, f"{address}/seen-to/2027-01-04", seen_to="no") == "/desk?said=open-again"


def test_no_page_about_dues_says_settled(house: House) -> None:
    a_full_week(house)
    for due in ({"name": "Rent", "on": "2027-01-04"}, {"name": "Tax", "on": "2027-01-04", "amount": "5"}):
        place = house.http.post("/api/dues", json=due).headers["location"]
    ask(house, "PUT", f"{place}/seen-to/2027-01-04")
    for path in ("/desk", "/today", "/week", "/quick?line=rent+fri"):
        assert "settle" not in see(house, path).text.lower()
    assert "settle" not in str(ask(house, "GET", "/api/dues"))


DENTIST = {"name": "Dentist", "on": "2027-01-04", "repeats": "once", "amount": ""}


def test_an_appointment_is_written_down_with_its_time_and_shown_with_it(house: House) -> None:
    form = {
        "name": "Dentist",
        "on": "2027-01-04",
        "time": "15:30",
        "repeats": "once",
        "needs": "",
        "amount": "",
    }
    assert send(house, "/desk/dues", **form) == "/desk?said=written-down"
    [due] = ask(house, "GET", "/api/dues")["dues"]
    assert (due["time"], due["needs"]) == ("15:30", 0)
    shown = values(see(house, f"/desk/dues/{due['id']}"))
    assert {name: shown[name] for name in form} == form | {"needs": "0"}
    assert "Due today, Monday 4 January at 15:30" in see(house, "/desk").text
    assert "Due today at 15:30" in see(house, "/today").one("section", "urgent").text
    page = see(house, "/week").one("ul", "dues")
    assert page.one("a").text == "15:30 Dentist"


def test_a_time_that_is_none_comes_back_with_everything_typed(house: House) -> None:
    form = {
        "name": "Dentist",
        "on": "2027-01-04",
        "time": "25:00",
        "repeats": "once",
        "needs": "2",
        "amount": "",
    }
    page = refused(house, "/desk/dues", form)
    assert {name: values(page)[name] for name in form} == form
    assert page.one("p", id="due-time-fault").text.startswith("“25:00” is not a time of day")


def test_dues_stand_on_todays_page_before_any_page_of_the_home_plan_is_open(house: House) -> None:
    ask(house, "POST", "/api/dues", {"name": "Rent", "on": "2027-01-04"})
    assert "Desk" not in [one.text for one in see(house, "/today").every("nav")]
    assert "Rent" in see(house, "/today").one("section", "urgent").text


def test_the_week_tells_what_is_seen_to_and_when(house: House) -> None:
    ask(house, "POST", "/api/dues", {"name": "Rent", "on": "2027-01-06", "amount": "900"})
    [due] = ask(house, "GET", "/api/dues")["dues"]
    day = ask(house, "GET", "/api/week")["days"][2]
    assert ([one["name"] for one in day["dues"]], day["seen_to"]) == (["Rent"], [])
    ask(house, "PUT", f"/api/dues/{due['id']}/seen-to/2027-01-06")
    day = ask(house, "GET", "/api/week")["days"][2]
    assert (day["dues"], day["seen_to"][0]["seen_to_on"]) == ([], "2027-01-04")
    assert see(house, "/week").one("ul", "dues").text == "Rent paid Monday 4 January"


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
    shown = values(page)
    assert {name: shown[name] for name in form} == form
    assert page.one("p", id="quick-on-fault").text.startswith("When is it due?")


def test_htmx_gets_the_part_alone(house: House) -> None:
    answer = house.http.get("/quick?line=ring+school", headers={"hx-request": "true"})
    page = read(answer.text)
    assert "To do: ring school." in page.text
    assert not list(page.every("h1"))


def test_where_every_day_is_one_for_desk_work_no_date_is_named(house: House) -> None:
    page = see(house, "/desk")
    assert "Today is a day for desk work, and so is tomorrow." in page.text
    assert "To see to today" in page.text


@pytest.mark.parametrize(
    "said",
    ["No bill, renewal or appointment is written down yet", "What comes to mind can go into the line above"],
)
def test_an_empty_desk_says_what_to_do_next(house: House, said: str) -> None:
    assert said in see(house, "/desk").text
