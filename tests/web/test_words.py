"""What people read: dates as they say them, nothing shouted, no share without meaning, our own words."""

from __future__ import annotations

import re
from datetime import timedelta
from typing import TYPE_CHECKING

import pytest

from coach.web.rendering import HERE
from web.demo_home import tern_streets
from web.house import House
from web.markup import Element, read
from web.test_look import SHEETS, rules

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

READ = ("aria-label", "alt", "placeholder", "title")
"""Attributes that a browser shows or a screen reader says."""

NEVER = {
    "a date as machines write it": re.compile(r"\b\d{4}-\d\d-\d\d\b"),
    "a shout": re.compile(r"!"),
    "a range that is none": re.compile(r"\b(\d+ %) (?:to|and) \1"),
    "a share that says nothing": re.compile(r"About 0 %"),
    "a word that is not ours": re.compile(
        r"minutes? (?:are|is) done|has not been done|errand is done|done or not", re.IGNORECASE
    ),
}
SENTENCES = re.compile(r"p:not\(\.alone")
"""The one rule that underlines without a pointer: links within paragraphs."""

TEMPLATES = sorted((HERE / "templates").rglob("*.html"))
PLACES = [
    *("/today", "/path", "/days", "/month", "/away", "/settings", "/data", "/more", "/home", "/catalogue"),
    *("/new-step", "/week", "/areas", "/areas/week", "/areas/weeks", "/dinner", "/dinner/favourites"),
    *("/shopping", "/desk", "/quick?line=dentist+14+May+15:30", "/rescue", "/steps/bed-made", "/jobs/linen"),
    *("/jobs/papers", "/jobs/dry-round", "/jobs/linen/lines", "/problems/unknown"),
    *("/cards", "/cards?per_page=2", "/sheet/2027-W04/enter", "/sheet/2027-W03/enter"),
    *("/sheet", "/sheet/2027-W03", "/path/what-if"),
    *(
        "/cards",
        "/cards?per_page=2",
        "/sheet/2027-W04/enter",
        "/sheet/2027-W03/enter",
        "/courses/three-weeks/booklet",
    ),
]


@pytest.fixture(scope="module")
def tern_street(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    """The demo household, for tests that only look."""
    with tern_streets(House, tmp_path_factory.mktemp("house")) as house:
        yield house


def _said(page: Element) -> Iterator[str]:
    """Every text of a page, and every label in words."""
    yield page.one("title").text
    yield page.one("body").text
    for element in page.every():
        yield from (element.attributes[name] for name in READ if name in element.attributes)


def faults(house: House, path: str, status: int = 200) -> list[tuple[str, str]]:
    """What a page says that it should not, with the words around it."""
    answer = house.http.get(path)
    assert answer.status_code == status, path
    page = read(answer.text)
    assert page.one("html").attributes["lang"] == "en-GB"
    assert "Done" not in [button.text for button in page.every("button")]
    return [
        (name, text[max(0, hit.start() - 40) : hit.end() + 20])
        for text in _said(page)
        for name, pattern in NEVER.items()
        if (hit := pattern.search(text))
    ]


@pytest.mark.parametrize("path", PLACES)
def test_a_page_of_a_full_house_says_dates_and_shares_for_people(tern_street: House, path: str) -> None:
    assert faults(tern_street, path) == []


def test_every_page_says_its_dates_for_people_on_each_of_the_first_days(house: House) -> None:
    for _ in range(7):
        for path in ("/today", "/path", "/steps/bed-made", "/month", "/days"):
            assert faults(house, path) == [], (house.today, path)
        house.live(1, "missed" if house.today.day % 2 else "kept")


def test_after_a_week_of_misses_a_share_is_said_without_a_range_of_nothing(house: House) -> None:
    for _ in range(9):
        house.mark("bed-made", "missed")
        house.sleep()
    assert faults(house, "/steps/bed-made") == []
    house.mark("bed-made")
    house.sleep()
    assert faults(house, "/steps/bed-made") == []


@pytest.mark.parametrize(
    "path", ["/days/2027-01-03", "/days/2027-01-05", "/days/0001-01-01", "/week/2026-W52"]
)
def test_what_cannot_be_shown_says_its_date_for_people(house: House, path: str) -> None:
    assert faults(house, path, 404) == []


def test_away_and_back_again_say_their_dates_for_people(house: House) -> None:
    house.http.post("/api/pause", json={"from": str(house.today + timedelta(days=2)), "until": "2027-01-09"})
    for days in (0, 3, 20):
        house.sleep(days)
        for path in ("/today", "/away", "/days", "/month"):
            assert faults(house, path) == [], (house.today, path)


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.stem)
def test_only_a_link_within_a_sentence_is_underlined(sheet: Path) -> None:
    every = re.findall(r"([^{}]+)\{([^{}]*)\}", rules(sheet))
    selectors = [selector.strip() for selector, body in every if "text-decoration: underline" in body]
    assert [one for one in selectors if ":hover" not in one and not SENTENCES.match(one)] == []


@pytest.mark.parametrize("template", TEMPLATES, ids=lambda template: template.stem)
def test_a_link_that_is_all_of_its_paragraph_says_that_it_stands_alone(template: Path) -> None:
    assert re.findall(r"<p>(<a (?![^>]*class=)(?:(?!</a>).)*</a>)</p>", template.read_text()) == []
