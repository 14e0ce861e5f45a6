"""`/cards` and `/api/cards`: the cards as they will print, and the same as JSON."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Any

from coach.press import faces
from web.markup import Element, read

if TYPE_CHECKING:
    import pytest

    from web.house import House


def see(house: House, path: str = "/cards") -> Element:
    answer = house.http.get(path)
    assert answer.status_code == 200, answer.text
    return read(answer.text)


def asked(house: House, query: str = "") -> dict[str, Any]:
    answer = house.http.get(f"/api/cards{query}")
    assert answer.status_code == 200, answer.text
    return dict(answer.json())


def add(house: House, title: str) -> None:
    """A step of one's own on today's list."""
    new = {"title": title, "cue": "then", "small": "A little", "slot": "evening"}
    answer = house.http.post("/api/steps", json=new | {"minutes": 3})
    assert answer.status_code == 201, answer.text
    house.mark(answer.json()["step"])


def test_the_page_shows_the_cards_that_json_tells(house: House) -> None:
    house.live(12)
    told = [(card["title"], len(card["lines"])) for card in asked(house)["cards"]]
    cards = see(house).every("section", "day-card")
    assert [(card.one("h2").one("span").text, len(list(card.every("li")))) for card in cards] == told
    assert len(told) > 1


def test_four_are_to_a_page_unless_two_are_asked_for(house: House) -> None:
    assert asked(house)["per_page"] == 4
    assert asked(house, "?per_page=2")["per_page"] == 2
    assert house.http.get("/api/cards?per_page=3").status_code == 422
    assert see(house).one("input", checked="").attributes["value"] == "4"
    assert see(house, "/cards?per_page=2").one("input", checked="").attributes["value"] == "2"


def test_a_line_says_its_cue_its_small_version_and_its_minutes(house: House) -> None:
    line = see(house).one("section", "day-card").one("li").text
    assert "Make the bed" in line
    assert "2 min" in line
    assert "right after getting up" in line
    assert "Small version: Pull the covers straight" in line


def test_a_long_part_of_the_day_goes_on_on_a_further_card(house: House) -> None:
    for number in range(7):
        add(house, f"Evening thing number {number}, with a title of some length")
    heads = [card.one("h2").text for card in see(house).every("section", "day-card")]
    assert [head for head in heads if head.startswith("Evening")] == ["Evening 1 of 2", "Evening 2 of 2"]


def test_a_household_with_nothing_on_its_list_is_told_so(house: House) -> None:
    house.sleep()
    for step in house.http.get("/api/path").json()["steps"]:
        house.http.post(f"/api/steps/{step['step']}/set-aside")
    house.sleep()
    assert asked(house)["cards"] == []
    assert "no card to print" in see(house).one("main").text


def test_before_the_start_there_are_none(empty: House) -> None:
    assert empty.http.get("/cards").headers["location"] == "/start"
    assert empty.http.get("/api/cards").status_code == 409


def test_more_leads_to_the_cards(house: House) -> None:
    assert list(see(house, "/more").every("a", href="/cards"))


def test_more_has_all_that_is_printed_in_one_group(house: House) -> None:
    page = house.http.get("/more").text
    group = page.split("<h2>On paper</h2>")[1].split("<h2>")[0]
    assert all(f'href="{one}"' in group for one in ("/sheet", "/cards", "/handover"))


def test_cards_and_booklet_are_printed_by_a_button_like_the_sheet(house: House) -> None:
    for path in ("/cards", "/courses/three-weeks/booklet", "/sheet"):
        buttons = see(house, path).one("main").every("button")
        assert [one.text for one in buttons if "data-print" in one.attributes] == ["Print"]
        assert "paper.js" in house.http.get(path).text


def test_the_cards_are_for_the_paper_that_the_sheet_is_on(house: House) -> None:
    assert asked(house)["paper"] == "a4"
    assert house.http.put("/api/sheet/choices", json={"paper": "letter"}).status_code == 200
    assert asked(house)["paper"] == "letter"
    assert list(see(house).every("div", "letter"))
    assert list(see(house, "/courses/three-weeks/booklet").every("article", "letter"))


def test_without_the_library_for_pdf_the_page_says_how_to_get_it_and_raises_no_alarm(
    house: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "typst", None)
    # Another test may have printed before.
    faces.library.cache_clear()
    answer = house.http.get("/cards?format=pdf", headers={"accept": "text/html"})
    assert answer.status_code == 503
    main = read(answer.text).one("main").text
    assert "This machine is not ready for that" in main
    assert "until then the page prints from the browser" in main
    assert "Rescue" not in main
