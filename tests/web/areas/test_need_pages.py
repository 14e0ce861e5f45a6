"""The pages of turns by need, of sorting out first, and of areas without numbers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from web.areas.house import get, set_up
from web.areas.test_pages import page, post

if TYPE_CHECKING:
    from web.house import House


def test_areas_are_shown_by_name_and_pattern_without_numbers(house: House) -> None:
    set_up(house)
    names = [area["name"] for area in get(house, "/api/areas")["areas"]]
    shown, weeks = page(house, "/areas"), page(house, "/areas/weeks")
    assert [
        row.one("th").text for row in shown.one("tbody").every("tr") if "remarks" not in row.classes
    ] == names
    assert [block.one("text", "name").text.split() for block in shown.every("a", "block")] == [
        name.split() for name in names
    ]
    assert [lane.text for lane in weeks.every("text", "lane")] == names
    assert [one.text for one in weeks.every("span", "who")][:6] == names
    for tile in shown.every("svg", "swatch"):
        assert tile.text == ""


def test_by_need_the_page_says_why_and_what_is_a_forecast(house: House) -> None:
    set_up(house)
    post(
        house,
        "/areas/arrange",
        minutes_a_week="40",
        spot_minutes="10",
        mode="need",
        way="list",
        area_days=["TU", "FR"],
    )
    week = get(house, "/api/area-week")
    assert week["why"].endswith("has not been finished yet.")
    assert week["why"] in page(house, "/areas/week").one("p", "lead").text
    weeks = page(house, "/areas/weeks")
    assert "The weeks after it are a forecast" in weeks.text
    this, *ahead = weeks.every("li", "turn")
    assert week["why"] in this.text
    assert "forecast" not in this.classes
    assert all("forecast" in one.classes for one in ahead)
    assert list(weeks.every("form", action="/areas/weeks/swap")) == []
    assert [box.attributes["value"] for box in weeks.one("select", id="give").every("option")] == [
        area["area"] for area in get(house, "/api/areas")["areas"] if area["area"] not in weeks_now(house)
    ]


def weeks_now(house: House) -> list[str]:
    return list(get(house, "/api/areas")["this_week"])


def test_by_need_this_week_is_given_to_another_area_on_its_page(house: House) -> None:
    set_up(house)
    assert house.http.patch("/api/areas", json={"mode": "need"}).is_success
    form = page(house, "/areas/weeks").one("form", action="/areas/weeks/give")
    seen = next(one for one in form.every("input") if one.attributes["name"] == "seen").attributes["value"]
    shown = post(house, "/areas/weeks/give", area="study", seen=seen)
    assert "Gave this week to Study" in shown.one("form", "way-back").text
    assert weeks_now(house) == ["study"]
    late = post(house, "/areas/weeks/give", 409, area="hall", seen=seen)
    assert "The weeks have changed since" in late.one(id="trouble").text
    assert weeks_now(house) == ["study"]


def test_an_area_is_sorted_out_first_until_one_goes_back(house: House) -> None:
    set_up(house)
    for now, other, button in (("yes", "no", "Go back to its tasks"), ("no", "yes", "Sort out first")):
        post(house, "/areas/hall/sort-first", first=now)
        assert get(house, "/api/areas/hall")["sort_first"] is (now == "yes")
        form = page(house, "/areas/hall").one("form", action="/areas/hall/sort-first")
        assert (form.one("button").text, form.one("button").attributes["value"]) == (button, other)
