"""The picture of the path as a browser draws it: words within fields, readable type, one page of paper."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from browser.visitor import DESK, NARROW, PHONE

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from browser.visitor import Visitors
    from web.live import LiveHouse

pytestmark = pytest.mark.browser

TITLES = (
    "ארגן את המטבח לפני השינה",
    "Wash the dog's bowls, hang up the lead and wipe what the paws have left in the hall",
    "WWWWWWWW MMMM",
    "Fensterputzmittel nachfüllen",
)
OUTSIDE = """() => [...document.querySelectorAll('.node')].flatMap((node) => {
    const plate = node.querySelector('.plate').getBBox();
    return [...node.querySelectorAll('text')]
        .filter((line) => line.getComputedTextLength() > plate.width)
        .map((line) => line.textContent);
})"""
SMALLEST = """() => Math.min(...[...document.querySelectorAll('.farm text')].map((text) =>
    parseFloat(getComputedStyle(text).fontSize) * text.getScreenCTM().a))"""
BARE = """() => [...document.querySelectorAll('.node')].filter((node) => {
    const field = node.querySelector('.enclosure').getBBox(), plate = node.querySelector('.plate').getBBox();
    return plate.y - field.y < 4 || plate.width > field.width;
}).length"""
ASKEW = """() => [...document.querySelectorAll('.field-sign')].filter((sign) => {
    const [drawn, said] = [sign, sign.nextElementSibling].map((one) => one.getBoundingClientRect());
    return Math.abs((drawn.top + drawn.bottom) - (said.top + said.bottom)) > 4;
}).map((sign) => sign.parentElement.textContent)"""
RAISED = """() => [...document.querySelectorAll('.legend li > .gate')]
    .filter((gate) => {
        const row = gate.parentElement.getBoundingClientRect();
        return Math.abs(gate.getBoundingClientRect().bottom - row.bottom) > 1;
    })
    .map((gate) => gate.parentElement.textContent)"""
DOUBLED = """() => { const sheet = new CSSStyleSheet();
    sheet.replaceSync('html { font-size: 200% !important }');
    document.adoptedStyleSheets = [sheet]; return document.documentElement.scrollWidth; }"""


@pytest.fixture
def path(live: LiveHouse, visitors: Visitors) -> Page:
    """The path of a household with odd titles, on a phone."""
    live.start()
    for title in TITLES:
        live.http.post("/api/steps", json={"title": title, "after": ["bed-made"]})
    live.live(5)
    page = visitors.come()
    page.goto("/path")
    return page


def test_every_title_is_read_on_plain_ground_within_its_field_at_any_width(path: Page) -> None:
    path.evaluate("document.fonts.ready")
    assert path.evaluate(OUTSIDE) == []
    assert path.evaluate(BARE) == 0
    assert path.evaluate(SMALLEST) >= 13
    for wide in (NARROW, PHONE, DESK):
        path.set_viewport_size({"width": wide["width"], "height": wide["height"]})
        assert path.evaluate("document.documentElement.scrollWidth") <= wide["width"]
    drawn, listed = (path.locator(name).bounding_box() for name in (".farm", ".steps"))
    assert drawn is not None
    assert listed is not None
    assert listed["x"] > drawn["x"] + drawn["width"]


def test_each_sign_of_a_legend_and_of_the_list_stands_level_with_its_word(path: Page) -> None:
    path.set_viewport_size({"width": DESK["width"], "height": DESK["height"]})
    states = path.locator(".field-sign").evaluate_all("signs => signs.map((sign) => sign.classList[1])")
    assert {"practising", "settled", "ahead"} <= set(states)
    assert path.evaluate(ASKEW) == []
    path.goto("/month")
    assert path.locator(".legend .gate").count() == 6
    assert path.evaluate(RAISED) == []


def test_text_of_twice_the_size_needs_no_sideways_scroll(path: Page) -> None:
    for address in ("/path", "/steps/bed-made", "/new-step"):
        path.goto(address)
        assert path.evaluate(DOUBLED) <= PHONE["width"], address


def test_a_field_is_reached_by_keyboard_and_shows_it(path: Page) -> None:
    first = path.locator(".node").first
    first.focus()
    path.keyboard.press("Shift+Tab")
    path.keyboard.press("Tab")
    assert first.locator(".ring").evaluate("ring => getComputedStyle(ring).stroke") != "none"
    assert first.get_attribute("aria-label") == "Make the bed: settled"
    path.keyboard.press("Enter")
    path.wait_for_url("**/steps/bed-made")


def test_picture_and_list_are_printed_on_one_page(live: LiveHouse, visitors: Visitors) -> None:
    live.start()
    live.live(21)
    page = visitors.come()
    page.goto("/path")
    margin = dict.fromkeys(("top", "bottom", "left", "right"), "12mm")
    paper = page.pdf(format="A4", margin=margin)  # type: ignore[arg-type]  # its keys are known
    assert len(re.findall(rb"/Type\s*/Page\b", paper)) == 1


def test_with_colours_of_the_system_titles_stand_out_from_their_fields(
    live: LiveHouse, visitors: Visitors
) -> None:
    live.start()
    live.live(5)
    page = visitors.come(forced_colors="active")
    page.goto("/path")
    settled = page.locator(".node.settled").first
    ground, words = (
        settled.locator(part).first.evaluate("part => getComputedStyle(part).fill")
        for part in (".plate", "text")
    )
    assert ground == "rgb(255, 255, 255)"
    assert words != ground
