"""Who marked a line on the pages, and a tap that clashed with another one's newer mark."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

import pytest

from web.at_home import HomeHouse
from web.habits.test_hands import BED, Two
from web.markup import read

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

HTMX = {"hx-request": "true"}


@pytest.fixture
def two(tmp_path: Path) -> Iterator[Two]:
    house = HomeHouse(tmp_path)
    house.start()
    yield Two(house)
    house.close()


def post(two: Two, by: str, path: str, headers: dict[str, str] | None = None, **form: object) -> str:
    """What a form of a page is answered with."""
    client = {"ana": two.ana, "ben": two.ben}[by]
    answer = client.post(path, data=form, headers=headers or {})
    assert answer.status_code in {200, 303, 409}, answer.text
    return f"{answer.status_code} {answer.text}"


def marks(two: Two) -> str:
    return f"/days/{two.home.today}/marks/{BED}"


def test_today_says_who_marked_a_line_and_when(two: Two) -> None:
    post(two, "ben", marks(two), mark="kept")
    page = two.ana.get("/today").text
    assert "<bdi>Ben</bdi>, " + f"{two.home.now:%H:%M}" in page
    assert f'name="seen_version" value="{two.day["version"]}"' in page


def test_a_household_of_one_sees_no_name(tmp_path: Path) -> None:
    home = HomeHouse(tmp_path)
    home.start()
    ana = home.paired("Ana")
    ana.post(f"/days/{home.today}/marks/{BED}", data={"mark": "kept"})
    page = ana.get("/today").text
    assert "Ana" not in page
    assert "I take this" not in page
    home.close()


@pytest.mark.parametrize("headers", [HTMX, {}], ids=["htmx", "whole"])
def test_a_tap_that_clashed_shows_both_and_either_can_be_chosen(two: Two, headers: dict[str, str]) -> None:
    seen = two.day["version"]
    post(two, "ben", marks(two), mark="kept")
    answer = post(two, "ana", marks(two), headers, mark="missed", seen_version=seen)
    assert answer.startswith("409")
    assert f"Ben marked it kept at {two.home.now:%H:%M}." in answer
    form = read(answer).one("form", "clash")
    fields = {one.attributes["name"]: one.attributes["value"] for one in form.every("input")}
    values = [one.attributes["value"] for one in form.every("button")]
    assert values == ["theirs", "missed"]
    post(two, "ana", marks(two), headers, mark="theirs", **fields)
    assert two.line()["mark"] == "kept"
    post(two, "ana", marks(two), headers, mark="missed", **fields)
    assert two.line()["mark"] == "missed"


@pytest.mark.parametrize("headers", [HTMX, {}], ids=["htmx", "whole"])
def test_a_box_that_clashed_shows_both(two: Two, headers: dict[str, str]) -> None:
    yesterday, seen = two.home.today, two.day["version"]
    two.home.now += timedelta(days=1)
    post(two, "ben", f"/days/{yesterday}/marks/{BED}", mark="small")
    path = f"/days/lines/{BED}"
    answer = post(two, "ana", path, headers, kept=yesterday, seen_version=seen)
    assert answer.startswith("409")
    assert "Keep Ben" in answer
    post(two, "ana", path, headers, theirs=yesterday, seen_version=seen)
    day = two.ana.get(f"/api/days/{yesterday}").json()
    assert day["checklist"][0]["mark"] == "small"


def test_what_one_tap_marked_is_taken_back_but_not_what_another_one_set_anew(two: Two) -> None:
    post(two, "ana", marks(two), mark="kept")
    seen = two.day["version"]
    post(two, "ben", marks(two), mark="small")
    post(two, "ben", marks(two), mark="kept")
    post(two, "ana", f"/days/{two.home.today}/parts/morning", mark="undo", step=BED, seen_version=seen)
    assert two.line()["marked_by"]["name"] == "Ben"


def test_a_line_is_taken_on_the_page_and_both_names_are_said(two: Two) -> None:
    taken = f"/days/{two.home.today}/taken/{BED}"
    post(two, "ana", taken, taken="yes")
    assert "<bdi>Ana</bdi> takes this" in two.ben.get("/today").text
    answer = post(two, "ben", taken, HTMX, taken="yes", seen_version=two.day["version"])
    assert "taken by Ben; Ana had it" in answer
    post(two, "ben", taken, taken="no")
    assert "takes this" not in two.ben.get("/today").text


def test_a_line_is_offered_to_those_who_have_a_name_alone(tmp_path: Path) -> None:
    house = HomeHouse(tmp_path)
    house.start()
    ana, _ = house.paired("Ana"), house.paired("Ben", 8)
    try:
        for _ in range(2):
            assert "I take this" not in house.http.get("/today").text
            assert "I take this" in ana.get("/today").text
    finally:
        house.close()
