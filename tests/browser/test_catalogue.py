"""The catalogue on a phone: short when it opens, and filtered while a word is typed."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect

from browser.looking import broken_rules
from browser.test_looks import LEAST, SMALL_TARGETS
from browser.visitor import NARROW

if TYPE_CHECKING:
    from browser.visitor import Visitors
    from web.live import LiveHouse

pytestmark = pytest.mark.browser

MOST_HIGH = 1800
"""CSS pixels at a phone's width: two screens and a half."""


def test_the_catalogue_is_short_and_a_typed_word_filters_it(live: LiveHouse, visitors: Visitors) -> None:
    live.start()
    page = visitors.come()
    page.goto("/catalogue")
    assert page.evaluate("document.documentElement.scrollHeight") <= MOST_HIGH
    rows = page.locator(".offer:visible")
    expect(rows).to_have_count(0)
    page.get_by_label("A word").press_sequentially("hob")
    expect(page.get_by_role("status")).to_contain_text("of 49 steps")
    expect(page.get_by_role("heading", name="Wipe the hob")).to_be_visible()
    shown = rows.locator("h3").all_text_contents()
    assert page.evaluate("location.search") == ""
    page.get_by_role("button", name="Look").click()
    page.wait_for_url("**/catalogue?q=hob")
    assert rows.locator("h3").all_text_contents() == shown
    page.get_by_label("A word").fill("zebra")
    expect(page.get_by_role("status")).to_contain_text("Try another word")
    expect(rows).to_have_count(0)
    page.get_by_label("A word").fill("")
    expect(page.locator(".group:visible")).to_have_count(9)
    expect(rows).to_have_count(0)


def test_what_unfolds_fits_a_narrow_phone_and_a_finger(live: LiveHouse, visitors: Visitors) -> None:
    live.start()
    for scheme in ("light", "dark"):
        page = visitors.come(viewport=NARROW, color_scheme=scheme)
        page.goto("/catalogue?q=the")
        assert page.evaluate("document.documentElement.scrollWidth") <= NARROW["width"]
        assert page.evaluate(SMALL_TARGETS, LEAST) == []
        assert broken_rules(page) == []
