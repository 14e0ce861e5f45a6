"""The bar grows with the course, and every page of the home plan can be opened early."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from web.house import House


def bar(page: str) -> list[str]:
    places = page.split('<nav class="places"')[1].split("</nav>", maxsplit=1)[0]
    return re.findall(r"<span>([^<]+)</span></a>", places)


def test_in_the_first_days_the_bar_has_no_home_plan(house: House) -> None:
    assert bar(house.http.get("/today").text) == ["Today", "Path", "Away", "More"]


def test_a_page_opened_early_takes_its_place_and_stays(house: House) -> None:
    answer = house.http.post("/more/open", data={"name": "dinner"})
    assert (answer.status_code, answer.headers["location"]) == (303, "/dinner")
    assert bar(house.http.get("/today").text) == ["Today", "Home", "Path", "Away", "More"]
    assert "Dinner" in house.http.get("/home").text
    assert "Open dinner" not in house.http.get("/more").text


def test_with_the_whole_bar_taken_being_away_is_behind_more(house: House) -> None:
    for name in ("week", "desk"):
        house.http.post("/more/open", data={"name": name})
    assert bar(house.http.get("/path").text) == ["Today", "Week", "Home", "Path", "More"]
    away = house.http.get("/away").text
    assert re.search(r'href="/more" aria-current="page"', away)


def test_a_page_nobody_has_is_not_found(house: House) -> None:
    assert house.http.post("/more/open", data={"name": "attic"}).status_code == 404


def test_before_the_start_nothing_is_offered_early(empty: House) -> None:
    assert "Pages that come later" not in empty.http.get("/more").text
