"""The days before, filled in by a finger: one tap a box, on a phone and on a narrower one."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from browser.visitor import NARROW, PHONE

if TYPE_CHECKING:
    from playwright.sync_api import Page, ViewportSize

    from browser.visitor import Visitors
    from web.live import LiveHouse

pytestmark = pytest.mark.browser

WATCH_SHIFTS = """() => document.fonts.ready.then(() => {
        window.shifted = 0;
        new PerformanceObserver((list) => list.getEntries().forEach((one) => (window.shifted += one.value)))
            .observe({type: "layout-shift"});
    })"""
"""What the page moves from now on, its faces of type being there."""
LEAST = {PHONE["width"]: 44, NARROW["width"]: 40}
"""CSS pixels a box is wide, by the page's width; WCAG 2.2 §2.5.8 (AA) asks for 24."""


def boxes(page: Page, word: str) -> int:
    """How many boxes say so at the end of their name."""
    return page.locator(f".grid-line button[aria-label$=': {word}']").count()


def a_silent_week(live: LiveHouse) -> None:
    """Nine days lived, and five on which nobody marked but one line a day."""
    live.start()
    live.live(9)
    for _ in range(5):
        live.mark("bed-made")
        live.sleep()


@pytest.mark.parametrize("viewport", [PHONE, NARROW], ids=["360", "320"])
def test_a_silent_week_is_filled_in_with_a_tap_a_box(
    live: LiveHouse, visitors: Visitors, viewport: ViewportSize
) -> None:
    a_silent_week(live)
    page = visitors.come(viewport=viewport, has_touch=True)
    page.goto("/days")
    assert page.evaluate("document.documentElement.scrollWidth") <= viewport["width"]
    sizes = [box.bounding_box() for box in page.locator(".grid-line button").all()]
    assert all(size and min(size["width"], size["height"]) >= LEAST[viewport["width"]] for size in sizes)
    page.evaluate(WATCH_SHIFTS)
    daily = page.get_by_role("listitem").filter(has_text="Clear the table")
    open_ones = daily.locator("button:not(.marked)")
    count, before = open_ones.count(), boxes(page, "kept")
    assert count == 5
    for left in reversed(range(count)):
        open_ones.first.tap()
        expect(open_ones).to_have_count(left)
    assert boxes(page, "kept") == before + count
    assert page.evaluate("window.shifted") == 0
    daily.locator("button.marked").last.tap()
    expect(open_ones).to_have_count(1)
    expect(page.get_by_role("status")).to_have_text("Clear the table: mark taken back.")
    expect(open_ones.first).to_be_focused()
    day = live.http.get("/api/days/2027-01-13").json()
    assert {line["step"]: line["mark"] for line in day["checklist"]}["table-cleared"] == "kept"


def test_it_is_filled_in_without_javascript(live: LiveHouse, visitors: Visitors) -> None:
    a_silent_week(live)
    page = visitors.come(java_script_enabled=False)
    page.goto("/days")
    box = page.get_by_role("button", name="Clear the table, Saturday 16 January: not marked")
    box.click()
    expect(page.get_by_role("button", name="Clear the table, Saturday 16 January: kept")).to_be_visible()
    assert page.url.endswith("/days#line-table-cleared")
