"""What today's page and its JSON say beside the list: what is new, what was empty, only a few lines, help."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from coach.household import data
from web.forms import see, send, values

if TYPE_CHECKING:
    from web.house import House
    from web.markup import Element

STORY = Path(__file__).parents[2] / "golden" / "stories" / "three-weeks-standard"
"""Three weeks in which everything was kept."""


def notes(house: House) -> str:
    """What stands before the list."""
    found = see(house, "/today").every("div", "notes")
    return " ".join(one.text for one in found)


@pytest.fixture
def steady(empty: House) -> House:
    """A house in the steady time, with seven daily lines."""
    empty.sleep(22)
    context = empty.app.state.context
    data.load(context, "home", (STORY / "log.csv").read_text(encoding="utf-8"))
    return empty


def few_form(page: Element) -> Element:
    """The form that leaves a few."""
    return next(page.every("form", action="/today/few"))


def test_the_page_says_why_a_step_came_and_what_has_settled(house: House) -> None:
    house.live(3)
    said = notes(house)
    assert "Make the bed has held, 3 of 4: the gate is open." in said
    assert "Make the bed is settled and stays on the list." in said
    day = house.day()
    because = {"kind": "room", "step": "bed-made", "kept": 3, "of": 4}
    assert (day["arrived"]["step"], day["arrived"]["because"]) == ("table-cleared", [because])
    assert [(line["step"], line["new"]) for line in day["checklist"]] == [
        ("bed-made", False),
        ("table-cleared", True),
    ]


def test_a_new_place_leads_to_its_page(house: House) -> None:
    house.live(6)
    assert "Home is new in the bar: it came with “Decide dinner before noon”." in notes(house)
    assert see(house, "/today").one("div", "notes").one("a", href="/home").text == "Home"
    assert house.day()["new_places"][0]["place"] == "home"


def test_an_empty_day_leads_to_that_day(house: House) -> None:
    house.live(3)
    house.sleep()
    assert "Yesterday is empty, and that is all right. Today counts as it is." in notes(house)
    # What is new waits behind one line then.
    assert see(house, "/today").one("details", "whats-new").one("summary").text == "What is new"
    assert list(see(house, "/today").every("a", href="/days/2027-01-07"))


def test_past_days_say_nothing_of_the_kind(house: House) -> None:
    house.live(4)
    assert not list(see(house, "/days/2027-01-07").every("div", "notes"))


def test_only_a_few_is_folded_and_open_after_two_empty_days(steady: House) -> None:
    fold = next(see(steady, "/today").every("details", "few"))
    assert "open" not in fold.attributes
    steady.sleep(2)
    fold = next(see(steady, "/today").every("details", "few"))
    assert "open" in fold.attributes


def test_one_tap_leaves_three_and_one_takes_it_back(steady: House) -> None:
    form = few_form(see(steady, "/today"))
    stay = [one.attributes["value"] for one in form.every("input") if one.attributes["name"] == "stay"]
    assert stay == ["bed-made", "table-cleared", "dinner-decided"]
    assert send(steady, "/today/few", stay=stay, request_id="once") == "/today"
    left = {line["step"]: line["mark"] for line in steady.day()["checklist"]}
    assert {step for step in left if left[step] is None} == {*stay, "area-time", "papers"}
    assert "Only a few today. 4 lines are excused." in notes(steady)
    undo = values(see(steady, "/today"))
    assert send(steady, "/today/few/undo", request_id=undo["request_id"]) == "/today"
    assert {line["mark"] for line in steady.day()["checklist"]} == {None}


def test_a_second_tap_of_the_same_form_changes_nothing(steady: House) -> None:
    send(steady, "/today/few", request_id="once")
    send(steady, "/today/few/undo", request_id="back")
    send(steady, "/today/few", request_id="once")
    assert {line["mark"] for line in steady.day()["checklist"]} == {None}
    send(steady, "/today/few", request_id="again")
    send(steady, "/today/few/undo", request_id="back")
    assert "excused" in {line["mark"] for line in steady.day()["checklist"]}


def test_a_program_takes_and_undoes_the_same(steady: House) -> None:
    few = steady.day()["few"]
    assert (few["taken"], few["open"], [one["step"] for one in few["stay"]]) == (
        False,
        False,
        ["bed-made", "table-cleared", "dinner-decided"],
    )
    day = steady.http.post("/api/today/few", json={"request_id": "a"}).json()
    assert (day["few"]["taken"], len(day["few"]["excused"])) == (True, 4)
    assert steady.http.post("/api/today/few").json() == day
    day = steady.http.delete("/api/today/few?request_id=b").json()
    assert (day["few"]["taken"], {line["mark"] for line in day["checklist"]}) == (False, {None})


@pytest.mark.parametrize("method", ["post", "delete"])
def test_before_the_start_there_is_nothing_to_leave_out(empty: House, method: str) -> None:
    assert getattr(empty.http, method)("/api/today/few").status_code == 409


def test_help_comes_early_and_one_note_stands_open(house: House) -> None:
    house.live(1)
    for _ in range(3):
        house.mark("bed-made", "missed")
        house.sleep()
    found = list(see(house, "/today").every("details", "stuck"))
    assert ["open" in one.attributes for one in found] == [True]
    assert "Kept 1 of the last 4." in found[0].text


def test_the_steady_time_offers_what_could_come_next(steady: House) -> None:
    page = see(steady, "/today")
    assert "Every step of the course has come." not in page.text
    links = [one.attributes["href"] for one in page.every("a")]
    ideas = [link for link in links if link.startswith("/catalogue#offer-")]
    assert len(ideas) == 3
    assert {"/new-step", "/settings"} <= set(links)
    anchors = {one.attributes.get("id") for one in see(steady, "/catalogue").every("li")}
    assert {link.partition("#")[2] for link in ideas} <= anchors
